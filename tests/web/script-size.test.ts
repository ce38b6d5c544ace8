import { readdirSync, readFileSync } from 'node:fs';
import path from 'node:path';
import { gzipSync } from 'node:zlib';
import { describe, expect, it } from 'vitest';

const DIST = path.join(import.meta.dirname, '..', '..', 'web', 'dist');
const MOST_BYTES = 150 * 1024;

describe('what a tablet loads first', () => {
  it('is less than 150 KB of script, compressed', () => {
    const files = readdirSync(DIST, { recursive: true, encoding: 'utf8' });
    const scripts = files.filter((file) => file.endsWith('.js'));
    expect(scripts).toContain('sw.js');
    expect(scripts.length).toBeGreaterThan(1);
    const sizes = scripts.map((file) => gzipSync(readFileSync(path.join(DIST, file))).length);
    expect(sizes.reduce((sum, size) => sum + size, 0)).toBeLessThan(MOST_BYTES);
  });

  it('has no script inside the page, so that the content policy can forbid it', () => {
    const page = readFileSync(path.join(DIST, 'index.html'), 'utf8');
    const scripts = page.match(/<script[^>]*>/g) ?? [];
    expect(scripts).toHaveLength(1);
    expect(scripts[0]).toMatch(/ src="\/assets\//);
    expect(page).not.toMatch(/ on[a-z]+=/);
  });

  it('lists every built file for work without a network', () => {
    const worker = readFileSync(path.join(DIST, 'sw.js'), 'utf8');
    const assets = readdirSync(path.join(DIST, 'assets'));
    expect(assets.filter((name) => !worker.includes(`/assets/${name}`))).toEqual([]);
    expect(worker).not.toMatch(/__FILES__|__VERSION__/);
  });
});
