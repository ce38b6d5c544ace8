import { readFileSync } from 'node:fs';
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import type { AccessRule } from '../../api/http/access.ts';
import type { Actor } from '../../api/modules/platform/index.ts';
import { changedTables, fingerprintOf } from '../helpers/database-fingerprint.ts';
import {
  ADMIN,
  chefOf,
  LEAD,
  PURCHASING,
  startTestApp,
  type TestApp,
} from '../helpers/test-app.ts';
import { countCommits, type CountedDatabase } from '../helpers/counted-commits.ts';
import { openTestDatabase } from '../helpers/test-database.ts';
import { fillWorkingKitchen, idsByField } from '../helpers/working-kitchen.ts';
import { SITE } from '../helpers/demo-site.ts';
import { AnswerContract } from './fuzz/answer-contract.ts';
import { Dice } from './fuzz/dice.ts';
import {
  makeRequest,
  operationsOf,
  type MadeRequest,
  type OpenApiDocument,
} from './fuzz/requests.ts';
import type { ValueMaker } from './fuzz/schema-values.ts';

/** The same numbers give the same requests; a longer search sets them higher. */
const SEED = Number(process.env.FUZZ_SEED ?? 20_260_310);
const REQUESTS_PER_ROUTE = Number(process.env.FUZZ_REQUESTS_PER_ROUTE ?? 25);
/** Refusals between two looks at the database. */
const LOOK_EVERY = 20;

let test: TestApp;
let counted: CountedDatabase;
let fingerprint: () => Promise<string>;
let known: ReadonlyMap<string, readonly string[]>;
const document = JSON.parse(readFileSync('openapi/openapi.json', 'utf8')) as OpenApiDocument;
const dice = new Dice(SEED);
const contract = new AnswerContract(document);
const make: ValueMaker = {
  dice,
  named: document.components.schemas,
  known: (field) => {
    const ids = known.get(field) ?? known.get(field.replace(/s$/, ''));
    return ids && ids.length > 0 ? dice.pick(ids) : null;
  },
};

/**
 * Requests that commit more than once: what was asked, and then what follows from it. Where the process
 * dies in between, the night makes up for what follows: tests/modules/night-work/made-up-at-night.test.ts.
 */
const COMMIT_AGAIN: ReadonlySet<string> = new Set([
  // The forecast of a sitting follows what was told of it.
  'PUT /v1/services/{serviceId}/covers/{serviceDate}/snapshots/{takenAt}',
  'PUT /v1/services/{serviceId}/covers/{serviceDate}/outcome',
  'PUT /v1/services/{serviceId}/covers/{serviceDate}/override',
  'DELETE /v1/services/{serviceId}/covers/{serviceDate}/override',
  'PUT /v1/services/{serviceId}/stated-covers',
  'POST /v1/sites/{siteId}/covers-snapshots',
  'POST /v1/sites/{siteId}/covers-events',
  'DELETE /v1/covers-events/{eventId}',
  'POST /v1/sites/{siteId}/covers-imports/{kind}',
  // The plan follows the forecasts it is worked out from; each site's part of a run lands by itself.
  'POST /v1/sites/{siteId}/prep-plans',
  'POST /v1/forecast-runs',
  'POST /v1/order-runs',
  // The plans, or the orders, of the sites concerned follow what was decided.
  'POST /v1/central-productions/{productionId}/decision',
  'POST /v1/joint-purchases/{jointPurchaseId}/accept',
]);

beforeAll(async () => {
  counted = countCommits(await openTestDatabase());
  test = await startTestApp(undefined, counted.database);
  await fillWorkingKitchen(test);
  fingerprint = fingerprintOf(test.database);
  known = await idsByField(test);
});
afterAll(() => test.close());

const ACTORS = [LEAD, ADMIN, PURCHASING, chefOf(SITE)];

function actorFor(rule: AccessRule): Actor {
  const may = ACTORS.filter(
    (actor) => typeof rule === 'string' || rule.includes(actor.role) || dice.chance(0.1),
  );
  return dice.pick(may.length > 0 ? may : ACTORS);
}

/** Reading these works forecasts out, and what is worked out is kept: an answer of theirs may write. */
const KEEPS_FORECASTS = /forecasts|par-levels|prep-plans|remedies/;

async function send(request: MadeRequest, actor: Actor, id: string) {
  const response = await test.app.inject({
    method: request.method as 'GET',
    url: request.url,
    headers: {
      ...request.headers,
      'x-request-id': id,
      'x-test-actor': Buffer.from(JSON.stringify(actor)).toString('base64url'),
    },
    ...(request.payload === undefined ? {} : { payload: request.payload }),
  });
  return {
    status: response.statusCode,
    type: String(response.headers['content-type'] ?? ''),
    text: response.body,
  };
}

describe('thousands of requests made from the OpenAPI document', () => {
  it('never get a fault, an answer outside the document, a word of the inside, or a change on refusal', async () => {
    const rules = new Map(
      test.app.declaredRoutes.map((route) => [
        `${route.method} ${route.url.replace(/:(\w+)/g, '{$1}')}`,
        route.access,
      ]),
    );
    const wrong: string[] = [];
    const statuses = new Map<number, number>();
    let sent = 0;
    let before = await fingerprint();
    let refused: string[] = [];
    const look = async () => {
      if (refused.length === 0) return;
      const after = await fingerprint();
      if (after !== before) {
        wrong.push(
          `changed ${changedTables(before, after).join()} though refused: ${refused.join(' | ')}`,
        );
      }
      refused = [];
      before = after;
    };
    const operations = operationsOf(document);
    for (let round = 0; round < REQUESTS_PER_ROUTE; round += 1) {
      known = await idsByField(test);
      for (const operation of operations) {
        const rule = rules.get(`${operation.method} ${operation.path}`) ?? 'public';
        const request = makeRequest(operation, make);
        const name = `${request.method} ${request.url.slice(0, 160)} (${request.how})`;
        const changes = request.method !== 'GET' || KEEPS_FORECASTS.test(operation.path);
        const id = `made-${sent}`;
        const answer = await send(request, actorFor(rule), id);
        sent += 1;
        statuses.set(answer.status, (statuses.get(answer.status) ?? 0) + 1);
        const commits = counted.commitsOf(id);
        if (commits > 1 && !COMMIT_AGAIN.has(`${operation.method} ${operation.path}`)) {
          wrong.push(`${name}: commits ${commits} times`);
        }
        for (const fault of contract.faults(operation, answer)) wrong.push(`${name}: ${fault}`);
        if (answer.status >= 400 || !changes) {
          refused.push(`${name} ${answer.status}`);
          if (refused.length >= LOOK_EVERY) await look();
        } else {
          // What was accepted may change things; what was refused before it may not.
          refused = [];
          before = await fingerprint();
        }
      }
    }
    await look();
    if (process.env.FUZZ_REPORT) console.log(sent, Object.fromEntries(statuses));
    expect(wrong).toEqual([]);
    // The search means something only when requests get through as well as back.
    const through = [...statuses].filter(([s]) => s < 300).reduce((sum, [, n]) => sum + n, 0);
    expect(sent).toBe(REQUESTS_PER_ROUTE * operations.length);
    expect(through).toBeGreaterThan(sent / 10);
  }, 300_000);
});
