import type { TestApp } from './test-app.ts';

/** Waits for something that takes long, and counts what others were answered in the meantime. */
export async function servedMeanwhile<T>(
  test: TestApp,
  long: Promise<T>,
): Promise<{ readonly result: T; readonly answered: number }> {
  let answered = 0;
  let waiting = true;
  const asking = (async () => {
    while (waiting) {
      await test.anonymous.get('/healthz').expect(200);
      answered += 1;
    }
  })();
  const result = await long.finally(() => (waiting = false));
  await asking;
  return { result, answered };
}
