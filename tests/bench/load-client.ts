import { connect } from 'node:net';

// A load of HTTP requests over kept-alive connections, one under way on each, from a process of its own,
// so that asking costs the service nothing but the machine. Reads only what it must of an answer.

export interface Load {
  readonly port: number;
  /** The whole head of the request. */
  readonly request: string;
  readonly connections: number;
  readonly warmUpMs: number;
  readonly measureMs: number;
  /** The only status that counts as an answer. */
  readonly status: number;
}

export interface LoadResult {
  readonly answers: number;
  readonly wrong: number;
  readonly perSecond: number;
  readonly p50Ms: number;
  readonly p99Ms: number;
  readonly bytes: number;
}

/** @returns the head's end, the status and how long the whole answer is; null while it is not there */
function headOf(seen: Buffer): { status: number; length: number } | null {
  const end = seen.indexOf('\r\n\r\n');
  if (end < 0) return null;
  const head = seen.toString('latin1', 0, end);
  const status = Number(head.slice(9, 12));
  const body = Number(/\r\ncontent-length: (\d+)/i.exec(head)?.[1] ?? 0);
  return { status, length: end + 4 + (status === 304 ? 0 : body) };
}

function run(load: Load): Promise<LoadResult> {
  const request = Buffer.from(load.request);
  const times: number[] = [];
  let wrong = 0;
  let bytes = 0;
  const from = performance.now() + load.warmUpMs;
  const until = from + load.measureMs;
  const one = (): Promise<void> =>
    new Promise((done, failed) => {
      const socket = connect({ port: load.port, host: '127.0.0.1', noDelay: true });
      let parts: Buffer[] = [];
      let have = 0;
      let want: { status: number; length: number } | null = null;
      let asked = 0;
      const ask = (): void => {
        parts = [];
        have = 0;
        want = null;
        asked = performance.now();
        socket.write(request);
      };
      socket.on('connect', ask);
      socket.on('error', failed);
      socket.on('close', () => done());
      socket.on('data', (chunk: Buffer) => {
        parts.push(chunk);
        have += chunk.length;
        want ??= headOf(parts.length === 1 ? chunk : Buffer.concat(parts));
        if (!want || have < want.length) return;
        const now = performance.now();
        if (want.status !== load.status) wrong += 1;
        if (asked >= from && now <= until) {
          times.push(now - asked);
          bytes = want.length;
        }
        if (now >= until) socket.end();
        else ask();
      });
    });
  return Promise.all(Array.from({ length: load.connections }, one)).then(() => {
    times.sort((a, b) => a - b);
    const at = (part: number): number => times[Math.floor(part * (times.length - 1))] ?? 0;
    return {
      ...{ answers: times.length, wrong, bytes },
      perSecond: times.length / (load.measureMs / 1000),
      ...{ p50Ms: at(0.5), p99Ms: at(0.99) },
    };
  });
}

console.log(JSON.stringify(await run(JSON.parse(process.argv[2] ?? '') as Load)));
