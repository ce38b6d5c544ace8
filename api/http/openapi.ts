import swagger from '@fastify/swagger';
import type { FastifyInstance } from 'fastify';
import {
  jsonSchemaTransform,
  jsonSchemaTransformObject,
  serializerCompiler,
  validatorCompiler,
} from 'fastify-type-provider-zod';

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
    transform: jsonSchemaTransform,
    transformObject: jsonSchemaTransformObject,
  });
}
