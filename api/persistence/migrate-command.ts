import { readConfig } from '../config.ts';
import { openDatabase } from './database.ts';

// `npm run db:migrate`: brings the named database up to date and says so.
const database = await openDatabase(readConfig(process.env));
console.log(`The ${database.kind} database is up to date.`);
await database.close();
