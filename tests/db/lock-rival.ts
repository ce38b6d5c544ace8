import { lockFolder } from '../../api/persistence/folder-lock.ts';

// One of several processes that want the same folder: says when it is ready, and on a word from the
// test whether it got the lock.

const dir = process.argv[2] ?? '';
process.once('message', () => {
  lockFolder(dir).then(
    () => process.send?.('taken'),
    (error: unknown) => process.send?.(error instanceof Error ? error.message : String(error)),
  );
});
process.once('disconnect', () => process.exit());
process.send?.('ready');
