import { afterAll, beforeAll, describe, expect, inject, it } from 'vitest';
import type { Database } from '../../api/persistence/database.ts';
import { createNewId } from '../../api/persistence/new-id.ts';
import { createUnitOfWork } from '../../api/persistence/repositories.ts';
import { openTestDatabase } from '../helpers/test-database.ts';

let database: Database;
beforeAll(async () => {
  database = await openTestDatabase();
});
afterAll(() => database.close());
const unit = () => createUnitOfWork(database, createNewId());

/** As the drivers report a serialisation failure (PostgreSQL manual, appendix A). */
const clash = () => Object.assign(new Error('could not serialize access'), { code: '40001' });

describe('a transaction undone because it clashed with another', () => {
  it('is done again from its beginning, and leaves nothing of the tries that were undone', async () => {
    let tries = 0;
    const done = await unit().run(async ({ access }) => {
      tries += 1;
      await access.settings.insert(`try ${tries}`, tries);
      if (tries < 4) throw clash();
      return tries;
    });
    expect(done).toBe(4);
    const rows = await database.prisma.groupSetting.findMany({
      where: { key: { startsWith: 'try ' } },
    });
    expect(rows.map(({ key }) => key)).toEqual(['try 4']);
  });

  it('is given up after four tries, and anything else is not tried again', async () => {
    let tries = 0;
    const failing = (error: Error) =>
      unit().run(async () => {
        tries += 1;
        throw error;
      });
    await expect(failing(clash())).rejects.toThrow('serialize');
    expect(tries).toBe(4);
    await expect(failing(new Error('not that'))).rejects.toThrow('not that');
    expect(tries).toBe(5);
  });

  // The embedded database does one after the other: nothing there can clash.
  it.skipIf(inject('databaseTemplate').kind === 'embedded')(
    'by the server, which two that wait for each other are, ends with both done',
    async () => {
      const { settings } = unit().read.access;
      for (const key of ['left', 'right']) await settings.put(key, 'nobody');
      let tries = 0;
      let here = 0;
      let go = (): void => undefined;
      const both = new Promise<void>((resolve) => (go = resolve));
      const write = (who: string, keys: readonly [string, string]) =>
        unit().run(async ({ access }) => {
          tries += 1;
          await access.settings.put(keys[0], who);
          here += 1;
          if (here === 2) go();
          await both;
          await access.settings.put(keys[1], who);
        });
      await Promise.all([write('one', ['left', 'right']), write('other', ['right', 'left'])]);
      expect(tries).toBe(3);
      const left = await settings.find('left');
      expect(['one', 'other']).toContain(left);
      expect(await settings.find('right')).toBe(left);
    },
  );
});
