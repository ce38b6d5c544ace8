import { readConfig } from '../../config.ts';
import { exportTables } from './export-tables.ts';
import { restoreBackup } from './restore-backup.ts';
import { openSqlSession, type SqlSession } from './sql-session.ts';
import { writeBackup, type BackupMade } from './write-backup.ts';

// `npm run backup -- FILE`, `npm run restore -- FILE`, `npm run export -- FOLDER`, each over the
// database that DATABASE_URL or DATA_DIR names.

interface Command {
  readonly takes: string;
  readonly mustBeThere: boolean;
  readonly run: (session: SqlSession, place: string) => Promise<BackupMade>;
  readonly said: string;
}

const COMMANDS: Readonly<Record<string, Command>> = {
  backup: {
    takes: 'FILE',
    mustBeThere: true,
    run: (session, file) => writeBackup(session, file, new Date()),
    said: 'Copied',
  },
  restore: { takes: 'FILE', mustBeThere: false, run: restoreBackup, said: 'Restored' },
  export: { takes: 'FOLDER', mustBeThere: true, run: exportTables, said: 'Written' },
};

async function main([name = '', place]: readonly string[]): Promise<void> {
  const command = COMMANDS[name];
  if (!command) throw new Error(`Say one of: ${Object.keys(COMMANDS).join(', ')}.`);
  if (place === undefined) throw new Error(`Use: npm run ${name} -- ${command.takes}`);
  const session = await openSqlSession(readConfig(process.env), command.mustBeThere);
  try {
    const made = await command.run(session, place);
    console.log(`${command.said}: ${made.rows} rows of ${made.tables} tables (${place}).`);
  } finally {
    await session.close();
  }
}

try {
  await main(process.argv.slice(2));
} catch (error) {
  console.error((error as Error).message);
  process.exitCode = 1;
}
