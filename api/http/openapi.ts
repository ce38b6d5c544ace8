import swagger from '@fastify/swagger';
import type { FastifyInstance, FastifySchemaCompiler } from 'fastify';
import {
  jsonSchemaTransform,
  jsonSchemaTransformObject,
  serializerCompiler,
  validatorCompiler,
} from 'fastify-type-provider-zod';
import { z } from 'zod';
import type { AccessRule } from './access.ts';
import { ProblemSchema } from './problem.ts';

const PROBLEM_CONTENT = { 'application/problem+json': { schema: ProblemSchema } };
/** What every route may answer besides what it declares. */
const PROBLEMS = {
  '4XX': { description: 'Refused; nothing was changed', content: PROBLEM_CONTENT },
  '5XX': { description: 'A fault, or not available just now', content: PROBLEM_CONTENT },
};

const KEY = z.string().meta({
  description:
    'A random id of 8 to 120 printable characters. Sent again under it, the request is done once.',
});

/** Who a route is for, as its access rule says it. */
function forWhom(rule: AccessRule | undefined): string {
  if (rule === undefined || rule === 'public') return 'Needs no signing in.';
  return rule === 'signed-in' ? 'For anybody signed in.' : `For ${rule.join(', ')}.`;
}

/**
 * Adds to the document what holds by the way a route is declared: who it is for, the key under which
 * it is done once, and the problems every route may answer. Only to the document: replies are
 * serialized by the declared schemas.
 */
const withRules: typeof jsonSchemaTransform = (input) => {
  const { schema, route } = input;
  if (!schema || schema.hide) return jsonSchemaTransform(input);
  const { access, idempotent } = route.config ?? {};
  const response = { ...(schema.response as object | undefined), ...PROBLEMS };
  const headers = schema.headers instanceof z.ZodObject ? schema.headers : z.object({});
  return jsonSchemaTransform({
    ...input,
    schema: {
      ...schema,
      response,
      description: [schema.description, forWhom(access)].filter(Boolean).join(' '),
      ...(access === 'public' ? { security: [] } : {}),
      ...(idempotent ? { headers: headers.extend({ 'idempotency-key': KEY.optional() }) } : {}),
    },
  });
};

/**
 * A parameter that an address does not take is refused, not ignored: `dryrun` for `dryRun` would take
 * a file in, `date` for `on` would answer for today.
 */
const withKnownParameters: FastifySchemaCompiler<z.ZodType> = (route) =>
  validatorCompiler(
    route.httpPart === 'querystring' && route.schema instanceof z.ZodObject
      ? { ...route, schema: route.schema.strict() }
      : route,
  );

/** Makes the zod schemas the one source of validation, types and the OpenAPI 3.1 document. */
export async function registerOpenApi(app: FastifyInstance): Promise<void> {
  app.setValidatorCompiler(withKnownParameters);
  app.setSerializerCompiler(serializerCompiler);
  await app.register(swagger, {
    openapi: {
      openapi: '3.1.0',
      info: {
        title: 'tamis',
        version: '1',
        description:
          'Recipes, prep lists and orders for the pastry section of a restaurant group. Errors are RFC 9457 problems. ' +
          'Food-safety and allergen figures support, and never replace, local codes and licensed practice.',
      },
      servers: [{ url: '/' }],
      components: {
        securitySchemes: {
          session: { type: 'apiKey', in: 'cookie', name: 'tamis_session' },
          token: { type: 'http', scheme: 'bearer' },
        },
      },
      security: [{ session: [] }, { token: [] }],
    },
    transform: withRules,
    transformObject: jsonSchemaTransformObject,
  });
}
