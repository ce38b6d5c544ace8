import type { FastifyInstance } from 'fastify';

// What a browser is told of every answer, as the OWASP Secure Headers Project advises
// (owasp.org/www-project-secure-headers). HTTPS is the proxy's: it sends Strict-Transport-Security.

const POLICY = {
  'default-src': "'self'",
  'base-uri': "'self'",
  'form-action': "'self'",
  'frame-ancestors': "'self'",
  'img-src': "'self' data:",
  'object-src': "'none'",
  'script-src': "'self'",
  'script-src-attr': "'none'",
  'style-src': "'self' 'unsafe-inline'",
};

const HEADERS: Readonly<Record<string, string>> = {
  'content-security-policy': Object.entries(POLICY)
    .map(([name, sources]) => `${name} ${sources}`)
    .join(';'),
  'cross-origin-opener-policy': 'same-origin',
  'cross-origin-resource-policy': 'same-origin',
  'origin-agent-cluster': '?1',
  'referrer-policy': 'no-referrer',
  'x-content-type-options': 'nosniff',
  'x-frame-options': 'SAMEORIGIN',
};

/** Puts them on every answer, refusals included. */
export function registerSecureHeaders(app: FastifyInstance): void {
  app.addHook('onRequest', (_request, reply, done) => {
    reply.headers(HEADERS);
    done();
  });
}
