import { createHash } from 'node:crypto';
import { writeFileSync } from 'node:fs';
import path from 'node:path';
import { brotliCompressSync, constants, gzipSync } from 'node:zlib';
import { svelte } from '@sveltejs/vite-plugin-svelte';
import { defineConfig, type Plugin } from 'vite';

/** Files from `public/` that the page needs without a network, beside what is built. */
const PUBLIC_FILES = ['/manifest.webmanifest', '/icon.svg'];

/**
 * Tells the service worker which files this build consists of. Its text then changes with every
 * build, which is how a browser notices that there is a newer page.
 */
function listFilesForOffline(): Plugin {
  return {
    name: 'list-files-for-offline',
    apply: 'build',
    enforce: 'post',
    generateBundle(_options, bundle) {
      const worker = bundle['sw.js'];
      if (worker?.type !== 'chunk') throw new Error('The service worker was not built.');
      const built = Object.entries(bundle).filter(([name]) => name.startsWith('assets/'));
      const files = ['/', ...built.map(([name]) => `/${name}`), ...PUBLIC_FILES];
      const page = bundle['index.html'];
      const text = `${files.join()}${page?.type === 'asset' ? String(page.source) : ''}`;
      const version = createHash('sha256').update(text).digest('hex').slice(0, 12);
      worker.code = worker.code
        .replace(/(['"`])__FILES__\1/, JSON.stringify(files))
        .replaceAll('__VERSION__', version);
    },
  };
}

/** Below this a compressed answer saves nothing that a packet would notice. */
const LEAST_BYTES = 1_024;

/** Lays compressed copies beside the built files, which the service sends to browsers that take them. */
function compressBeside(): Plugin {
  return {
    name: 'compress-beside',
    apply: 'build',
    enforce: 'post',
    writeBundle({ dir }, bundle) {
      if (dir === undefined) throw new Error('The build has no folder.');
      for (const [name, file] of Object.entries(bundle)) {
        const bytes = Buffer.from(file.type === 'chunk' ? file.code : file.source);
        if (bytes.length < LEAST_BYTES || !/\.(js|css|html)$/.test(name)) continue;
        writeFileSync(path.join(dir, `${name}.gz`), gzipSync(bytes, { level: 9 }));
        const params = { [constants.BROTLI_PARAM_QUALITY]: constants.BROTLI_MAX_QUALITY };
        writeFileSync(path.join(dir, `${name}.br`), brotliCompressSync(bytes, { params }));
      }
    },
  };
}

export default defineConfig({
  plugins: [svelte(), listFilesForOffline(), compressBeside()],
  base: '/',
  build: {
    outDir: 'dist',
    emptyOutDir: true,
    target: 'es2022',
    modulePreload: { polyfill: false },
    rolldownOptions: {
      input: {
        page: path.join(import.meta.dirname, 'index.html'),
        sw: path.join(import.meta.dirname, 'src/offline/worker.ts'),
      },
      output: {
        entryFileNames: (chunk) => (chunk.name === 'sw' ? 'sw.js' : 'assets/[name]-[hash].js'),
      },
    },
  },
  server: { proxy: { '/v1': 'http://127.0.0.1:8040', '/healthz': 'http://127.0.0.1:8040' } },
});
