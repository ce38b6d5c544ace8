import swagger from '@fastify/swagger';
import type { FastifyInstance } from 'fastify';
import {
  jsonSchemaTransform,
  jsonSchemaTransformObject,
  serializerCompiler,
  validatorCompiler,
} from 'fastify-type-provider-zod';
import { ProblemSchema } from './problem.ts';

const PROBLEM_CONTENT = { 'application/problem+json': { schema: ProblemSchema } };
/** What every route may answer besides what it declares. */
const PROBLEMS = {
  '4XX': { description: 'Refused; nothing was changed', content: PROBLEM_CONTENT },
  '5XX': { description: 'A fault, or not available just now', content: PROBLEM_CONTENT },
};

/** Adds the problem answers to the document only: replies are serialized by the declared schemas. */
const withProblems: typeof jsonSchemaTransform = (input) => {
  const { schema } = input;
  if (!schema || schema.hide) return jsonSchemaTransform(input);
  const response = { ...(schema.response as object | undefined), ...PROBLEMS };
  return jsonSchemaTransform({ ...input, schema: { ...schema, response } });
};

/** Makes the zod schemas the one source of validation, types and the OpenAPI 3.1 document. */
export async function registerOpenApi(app: FastifyInstance): Promise<void> {
  app.setValidatorCompiler(validatorCompiler);
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
    transform: withProblems,
    transformObject: jsonSchemaTransformObject,
  });
}
