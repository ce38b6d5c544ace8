import { readConfig } from './config.ts';
import { orExplain, startServer, stopOnSignals } from './start-server.ts';

// `npm start`: the service for real use, empty until the first person is made.
await orExplain(async () => {
  const server = await startServer(readConfig(process.env));
  stopOnSignals(server);
  console.log(`tamis is at ${server.url} (${server.database.kind} database).`);
  const code = await server.services.access.setup.beginSetup();
  if (code !== null) {
    console.log(
      `Nobody can sign in yet. Open ${server.url} and set up the first person with this code: ${code}\n` +
        'It works for a day and for one person; start again for a new one.',
    );
  }
});
