// Points of two published lists that apply here, each with the tests that hold it or the reason why there
// is none. Numbers and short names as in: OWASP API Security Top 10, edition 2023 (owasp.org/API-Security);
// OWASP Application Security Verification Standard 4.0.3, level 2 (owasp.org/www-project-application-
// security-verification-standard). What a point asks is said in our own words. Points about things that
// are not here (mail, telephone, SOAP, GraphQL, LDAP, file downloads from users, payment) are left out.

/** A test by its file under `tests/` and its title. */
export type TestName = readonly [file: string, title: string];

export interface Point {
  readonly point: string;
  readonly asks: string;
  /** The tests that would fail if it were not so. */
  readonly tests: readonly TestName[];
  /** Needed where there is no test: why, or what holds it instead. */
  readonly reason?: string;
}

const MATRIX = 'http/access-matrix.test.ts';
const THINGS = 'http/other-site-things.test.ts';
const FUZZ = 'security/fuzz.test.ts';
const RAW = 'security/raw-http.test.ts';
const WORKBOOKS = 'security/hostile-workbooks.test.ts';
const NOT_PLAIN = 'security/not-plain-workbooks.test.ts';
const SUPPLY = 'security/supply-chain.test.ts';
const SESSION = 'modules/access/session.test.ts';
const TOKENS = 'modules/access/tokens.test.ts';
const USERS = 'modules/access/users.test.ts';
const PASSWORDS = 'modules/access/passwords.test.ts';
const SETUP = 'modules/access/setup.test.ts';
const START = 'http/start-server.test.ts';
const OBSERVED = 'http/observed.test.ts';
const REPLICAS = 'replicas/shared-state.test.ts';
const MADE_REQUESTS: TestName = [
  FUZZ,
  'never get a fault, an answer outside the document, a word of the inside, or a change on refusal',
];

export const POINTS: readonly Point[] = [
  {
    point: 'API1:2023 Broken object level authorization',
    asks: 'A thing named by its id is given only to who may see it.',
    tests: [
      [THINGS, 'is neither shown to nor changed by %s bound to their own site'],
      [THINGS, 'is of a kind this test knows: every id in a path is placed'],
      [
        'modules/prep/day-lists.test.ts',
        'is given to nobody of another site, nor without signing in, though it is kept',
      ],
    ],
  },
  {
    point: 'API2:2023 Broken authentication',
    asks: 'Guessing is slowed down, secrets are strong and end, and a mistake says nothing.',
    tests: [
      [
        SESSION,
        'stops after five tries for one person from one address, also with the right password',
      ],
      [SESSION, 'says the same to a wrong password, an unknown email and an archived person'],
      [REPLICAS, 'count tries to sign in together: five in all, not five each'],
      [TOKENS, 'end when revoked and when their time is over'],
    ],
  },
  {
    point: 'API3:2023 Broken object property level authorization',
    asks: 'Nobody reads or sets a member of a thing that is not theirs.',
    tests: [
      [SESSION, 'refuses a body with missing, wrong or unknown fields, with pointers'],
      [
        TOKENS,
        'are refused with a past or far end, an unknown site, or more rights than the maker has',
      ],
      MADE_REQUESTS,
    ],
  },
  {
    point: 'API4:2023 Unrestricted resource consumption',
    asks: 'Size, time and number of what one caller asks are bounded.',
    tests: [
      [
        RAW,
        'is cut off when it dribbles in for longer than a request may take, and others are served',
      ],
      [RAW, 'is refused with 413 when it says, or turns out, to be larger than allowed'],
      [RAW, 'are refused whole: too many rows, a cell without end, a tree without end'],
      [RAW, 'is never inflated: a compressed bomb is refused as it stands'],
      [
        'security/limits.test.ts',
        'are answered 429 beyond the limit of a minute, and told when to come again',
      ],
    ],
  },
  {
    point: 'API5:2023 Broken function level authorization',
    asks: 'Each route is for its roles only, and a route without a rule is not served.',
    tests: [
      [MATRIX, 'refuses %s every route not meant for them, and only those'],
      [MATRIX, 'lets nobody in without signing in'],
      [MATRIX, 'stops the application from being built'],
      [
        USERS,
        'of other roles are not touched by a lead: no new password, no archive, no promotion',
      ],
    ],
  },
  {
    point: 'API6:2023 Unrestricted access to sensitive business flows',
    asks: 'What does harm when done too often or by a machine is held back.',
    tests: [
      [
        'modules/orders/order-life.test.ts',
        'is held to the limit of the person, else of the role, delivery charge included',
      ],
      ['http/many-at-once.test.ts', 'approves each order once, and gives each its own number'],
      [TOKENS, 'make neither people nor further keys, and change no password'],
    ],
  },
  {
    point: 'API7:2023 Server side request forgery',
    asks: 'No address that a caller names is fetched by the service.',
    tests: [
      [
        'security/limits.test.ts',
        'fetches no address: nothing in it calls out but the driver of the database and the traces',
      ],
    ],
  },
  {
    point: 'API8:2023 Security misconfiguration',
    asks: 'Headers, errors and defaults give nothing away; other origins are not let in.',
    tests: [
      [
        'security/limits.test.ts',
        'tell a browser what it may do, refusals too, and let no other origin read them',
      ],
      MADE_REQUESTS,
      [SETUP, 'refuses a wrong or day-old code, a weak password and a bad email, and makes nobody'],
      [OBSERVED, 'are for who has the token; without one, for the machine itself and no proxy'],
    ],
  },
  {
    point: 'API9:2023 Improper inventory management',
    asks: 'What is served is what is documented.',
    tests: [
      [MATRIX, 'holds every route the router knows, and every one the OpenAPI document names'],
    ],
  },
  {
    point: 'API10:2023 Unsafe consumption of APIs',
    asks: 'What other services send is checked like any input.',
    tests: [],
    reason:
      'The service asks no other service for anything. What booking systems and suppliers send comes in through routes like any other input (API3, API4).',
  },
  {
    point: 'ASVS 2.1.1, 2.1.7, 2.1.9 Passwords',
    asks: 'At least twelve characters, no rules of composition, known bad ones refused.',
    tests: [
      [PASSWORDS, 'are long rather than mixed: twelve to 128 characters, none of them prescribed'],
      [PASSWORDS, 'are not runs, repetitions or the name of the person'],
    ],
    reason:
      'A list of breached passwords (2.1.7) is not shipped: it would have to be fetched and kept up to date. Runs, repetitions and names are refused.',
  },
  {
    point: 'ASVS 2.2.1 Against automated guessing',
    asks: 'At most a hundred failed tries an hour for one account.',
    tests: [[SESSION, 'stops for one person from ever new addresses after sixty tries an hour']],
  },
  {
    point: 'ASVS 2.4.1 Keeping passwords',
    asks: 'Salted, and hashed with a slow function made for it.',
    tests: [
      [PASSWORDS, 'agrees with the Argon2 reference implementation'],
      [SESSION, 'keeps only hashes: neither cookie secret nor password stands in the database'],
    ],
  },
  {
    point: 'ASVS 2.5.4 No default accounts',
    asks: 'Nobody is there from the start.',
    tests: [[SETUP, 'makes the first admin with the printed code, once, and names the group']],
  },
  {
    point: 'ASVS 2.8, 2.2.3 A second factor, notice of changes',
    asks: 'One-time codes; a message when credentials change.',
    tests: [],
    reason:
      'Not there. Tablets are shared at the pass and the service sends no mail; where a group asks for a second factor, its proxy signs people in before they reach the service. Changes stand on the audit trail.',
  },
  {
    point: 'ASVS 3.2.1, 3.2.2 New sessions',
    asks: 'A new secret at each sign-in, of at least 64 random bits.',
    tests: [
      [SESSION, 'takes a new secret each time and ends the session of the cookie that came along'],
    ],
  },
  {
    point: 'ASVS 3.3.1, 3.3.2, 3.3.3 End of sessions',
    asks: 'Signing out, time and a new password end them.',
    tests: [
      [SESSION, 'ends when the person signs out, and the cookie goes'],
      [SESSION, 'ends twelve hours after signing in, however busy'],
      [SESSION, 'ends after four hours unused'],
      [USERS, 'lose their sessions when archived or given a new password'],
      [
        REPLICAS,
        'take rights away everywhere at once: a password changed, a person archived, a key ended',
      ],
    ],
  },
  {
    point: 'ASVS 3.4.1, 3.4.2, 3.4.3 Cookies',
    asks: 'HttpOnly, SameSite, and Secure behind HTTPS.',
    tests: [
      [SESSION, 'sets a cookie that scripts cannot read and other sites cannot send'],
      [SESSION, 'marks the cookie as for TLS only where the settings say so'],
    ],
  },
  {
    point: 'ASVS 3.5.2 Keys of machines',
    asks: 'Made for one purpose, ending, and kept as hashes.',
    tests: [
      [TOKENS, 'open only their own sites, need no CSRF token, and show their secret once'],
      [TOKENS, 'are judged alone: a wrong key is not saved by a good cookie'],
    ],
  },
  {
    point: 'ASVS 4.1.1, 4.1.3, 4.1.5 Access control',
    asks: 'Enforced at the service, least rights, and closed when in doubt.',
    tests: [
      [MATRIX, 'refuses %s every route not meant for them, and only those'],
      [MATRIX, 'stops the application from being built'],
      [USERS, 'are changed against the version last read; new rights hold at once'],
    ],
  },
  {
    point: 'ASVS 4.2.2 Requests forged by other sites',
    asks: 'A changing request must show that it comes from the page.',
    tests: [[SESSION, 'changes nothing without its CSRF token, or with that of another session']],
  },
  {
    point: 'ASVS 5.1.1–5.1.5 Input',
    asks: 'Checked against a schema, unknown members refused, repeated ones not mistaken.',
    tests: [
      MADE_REQUESTS,
      [RAW, 'is refused when it gives two lengths, which proxies could read differently'],
    ],
  },
  {
    point: 'ASVS 5.3.4, 5.3.8 Injection',
    asks: 'Statements take values as parameters; no shell is called.',
    tests: [
      MADE_REQUESTS,
      [
        'security/limits.test.ts',
        'starts no other program, and puts no value into the text of a statement',
      ],
    ],
  },
  {
    point: 'ASVS 5.2.6, 5.5.2 Documents',
    asks: 'No XML entities are read, no addresses in them followed.',
    tests: [
      [WORKBOOKS, 'has no document type: no entities that grow, none from outside'],
      [WORKBOOKS, 'leads to no sheet outside the archive'],
    ],
  },
  {
    point: 'ASVS 7.1.1, 7.1.2 Logs hold no secrets',
    asks: 'No password, secret or personal content in a log line.',
    tests: [
      [START, 'sets up with the printed code, keeps its data over a restart, and logs no secrets'],
      [OBSERVED, 'names slow statements without their values, and counts them'],
      [OBSERVED, 'are made only when configured, go on from the caller’s, and hold no query'],
    ],
  },
  {
    point: 'ASVS 7.1.3, 7.1.4, 7.3.3 Events on record',
    asks: 'Who did what and when, refused sign-ins too, and nobody can change it.',
    tests: [
      [TOKENS, 'only grows: the database itself refuses changes'],
      [SESSION, 'leaves a line in the audit trail for each refusal of a known person'],
      [OBSERVED, 'says of each request who asked, for which site, what answered and for how long'],
    ],
  },
  {
    point: 'ASVS 7.4.1 Faults',
    asks: 'A fault answers with an id and nothing of the inside.',
    tests: [MADE_REQUESTS],
  },
  {
    point: 'ASVS 8.2.1, 8.3.1 Keeping answers',
    asks: 'Answers with secrets are kept by no browser; nothing secret stands in an address.',
    tests: [
      [
        'modules/prep/day-lists.test.ts',
        'is fetched with who asks, and the same as one worked out afresh',
      ],
      ['security/limits.test.ts', 'are kept by no browser where they hold a secret'],
    ],
  },
  {
    point: 'ASVS 9.1 Transport',
    asks: 'TLS everywhere.',
    tests: [],
    reason:
      'The service speaks plain HTTP on loopback; README says to put a proxy with a certificate in front, and SECURE_COOKIES keeps the cookie to TLS.',
  },
  {
    point: 'ASVS 10.3, 14.2 Packages',
    asks: 'Exact versions with sums, known licences, nothing run on installing, nothing unused.',
    tests: [
      [
        SUPPLY,
        'are declared in exact versions, and locked with a sum each, from the registry only',
      ],
      [SUPPLY, 'of the running service have a licence that is on the list'],
      [SUPPLY, 'run nothing when they are installed, and those that would are known'],
      [SUPPLY, 'are all used: nothing is declared that no file names'],
    ],
  },
  {
    point: 'ASVS 11.1.1, 11.1.2, 11.1.6 Order of steps',
    asks: 'Steps in their order, at a human pace, and safe when done at once.',
    tests: [
      [
        'http/many-at-once.test.ts',
        'are taken one after the other: each as allowed by the last, none lost, none counted twice',
      ],
      ['http/many-at-once.test.ts', 'publishes a version once'],
      ['http/idempotency.test.ts', 'is not done again, however much later its key comes back'],
    ],
  },
  {
    point: 'ASVS 12.1, 12.2 Files',
    asks: 'Too large, compressed or malformed files are refused whole.',
    tests: [
      [RAW, 'are refused whole: too many rows, a cell without end, a tree without end'],
      ['modules/ingredients/import.test.ts', 'is refused as a whole when the file is malformed'],
      [WORKBOOKS, 'is refused by what comes out of it, whatever its headers say'],
      [WORKBOOKS, 'is refused with a name that leads out of it'],
      [
        NOT_PLAIN,
        'is told apart in words: with a password, with macros, old, binary, another document',
      ],
    ],
  },
  {
    point: 'ASVS 13.1.3, 13.2.1, 13.2.5 Web service',
    asks: 'No keys in addresses, only the methods and types that are declared.',
    tests: [MADE_REQUESTS, [TOKENS, 'are judged alone: a wrong key is not saved by a good cookie']],
  },
  {
    point: 'ASVS 14.4.1–14.4.7 Headers',
    asks: 'Type, policy of contents, no sniffing, no framing, no referrer.',
    tests: [
      [
        'security/limits.test.ts',
        'tell a browser what it may do, refusals too, and let no other origin read them',
      ],
    ],
  },
  {
    point: 'ASVS 14.5.3 Other origins',
    asks: 'No other origin is let in.',
    tests: [
      [
        'security/limits.test.ts',
        'tell a browser what it may do, refusals too, and let no other origin read them',
      ],
    ],
  },
];
