import { readConfig } from './config.ts';
import { orExplain, startServer, stopOnSignals } from './start-server.ts';

// `npm start`: the service for real use, empty until the first person is made.
await orExplain(async () => {
  const server = await startServer(readConfig(process.env), { nightWork: true });
  stopOnSignals(server);
  const code = await server.services.access.setup.beginSetup();
  const lines =
    code === null
      ? []
      : [
          `Nobody can sign in yet. Open ${server.url} and set up the first person with this code: ${code}`,
          'It works for a day and for one person; start again for a new one.',
        ];
  console.log(
    [...lines, `tamis is at ${server.url} (${server.database.kind} database).`].join('\n'),
  );
});
