// Asks the registry for known vulnerabilities of what is installed. Fails on one that is high or
// critical in what the service runs with; says so and goes on where the registry keeps no record of
// vulnerabilities or cannot be reached, because that is no fault of the tree.
import { spawnSync } from 'node:child_process';

const { stdout } = spawnSync('npm', ['audit', '--audit=true', '--omit=dev', '--json'], {
  encoding: 'utf8',
  timeout: 120_000,
});
let answer = null;
try {
  answer = JSON.parse(stdout);
} catch {
  // No answer at all: said below.
}
if (!answer?.vulnerabilities) {
  const why = answer?.statusCode ? `it answered ${answer.statusCode}` : 'it did not answer';
  console.log(`Not audited: the registry offers no audit (${why}). Audit where it does.`);
  process.exit(0);
}
const found = Object.values(answer.vulnerabilities);
for (const { name, severity, range, fixAvailable } of found) {
  console.log(`${severity}: ${name} ${range}${fixAvailable ? ' (a newer one mends it)' : ''}`);
}
const grave = found.filter(({ severity }) => severity === 'high' || severity === 'critical');
console.log(`Audited: ${found.length} known vulnerabilities, ${grave.length} of them grave.`);
process.exit(grave.length === 0 ? 0 : 1);
