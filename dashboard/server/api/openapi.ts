/** The OpenAPI 3.1 document, from the same schemas that check requests. */
import { z } from 'zod';
import { entryBodySchema, entrySchema } from '#core/journal/entry';
import { problemSchema, rigSchema, streamEvents } from '#core/messages/api';
import { exportJobSchema } from '#core/messages/api-export';
import { findingSchema, jointStateSchema, rigReadinessSchema } from '#core/messages/api-journal';
import { readySchema } from '#core/messages/api-lists';
import { jointReviewSchema } from '#core/messages/api-review';
import { debriefSchema, sessionViewSchema } from '#core/messages/api-training';
import { passMessageSchema } from '#core/messages/pass';
import { streamQuerySchema } from '#core/messages/stream-pace';
import { procedurePassSchema, procedureSchema } from '#core/procedure/procedure';
import { rolesFor } from '../auth/who-may.ts';
import { hasAuthor, type RouteSpec } from './route.ts';
import { ROUTES } from './route-table.ts';

type Json = Record<string, unknown>;

/** Shapes that stand in many answers: once among the components, named there. */
const NAMED = z.registry<{ id: string }>();
for (const [id, schema] of Object.entries({
  EntryBody: entryBodySchema,
  Entry: entrySchema,
  Finding: findingSchema,
  JointState: jointStateSchema,
  RigReadiness: rigReadinessSchema,
  PassMessage: passMessageSchema,
  JointReview: jointReviewSchema,
  ExportJob: exportJobSchema,
  TrainingSession: sessionViewSchema,
  TrainingDebrief: debriefSchema,
  Procedure: procedureSchema,
  ProcedurePass: procedurePassSchema,
  Rig: rigSchema,
})) {
  NAMED.add(schema, { id });
}

/** Problems every route may answer with. */
const COMMON_PROBLEMS = { originForeign: 403, hostUnknown: 421, internal: 500, storeBlocked: 503 };
const ENTRY_PROBLEMS = {
  headerMissing: 403,
  bodyNotJson: 415,
  bodyInvalid: 400,
  bodyTooLarge: 413,
  storeFull: 507,
};

/** Of every route but those that anyone may use; with 401 it is signInNeeded, signInAgain or tokenUnknown. */
const FORBIDDEN = { roleMissing: 403, rightMissing: 403 };
const SIGN_IN_FIRST = { 401: { $ref: '#/components/responses/SignInFirst' } };

const SECURITY_SCHEMES = {
  session: {
    type: 'apiKey',
    in: 'cookie',
    name: 'girthlog-{store}',
    description: 'A person who has signed in; over TLS the name begins with __Host-',
  },
  program: { type: 'http', scheme: 'bearer', description: 'A program with a token and rights of its own' },
};

const RESPONSES = {
  SignInFirst: {
    description: 'code: signInNeeded, signInAgain, tokenUnknown',
    content: { 'application/problem+json': { schema: { $ref: '#/components/schemas/Problem' } } },
  },
};

/** Who may use a route: by session or token, or nobody need be known. */
function accessOf(may: RouteSpec['may']): Json {
  if (may === 'anyone') return { security: [] };
  return { 'x-right': may, 'x-roles': rolesFor(may).join(', ') };
}

export function openApiDocument(): Json {
  const named: Json = {};
  const paths: Record<string, Json> = {};
  for (const spec of Object.values(ROUTES) as RouteSpec[]) {
    paths[spec.path] = { ...paths[spec.path], [spec.method]: operationOf(spec) };
  }
  paths['/api/v1/stream'] = { get: streamOperation() };
  paths['/readyz'] = {
    get: {
      operationId: 'readReadiness',
      summary: 'Whether the dashboard can work; a lost broker is a warning',
      responses: {
        200: jsonAnswer('Ready', readySchema),
        503: jsonAnswer('Not ready', readySchema),
      },
    },
  };
  const document: Json = {
    openapi: '3.1.0',
    info: {
      title: 'Girthlog dashboard',
      version: '1',
      license: { name: 'MIT', identifier: 'MIT' },
      description:
        'Monitoring only: nothing here starts, stops or adjusts a rig. SI units, the unit in the name; ' +
        'null is unknown, never zero; times are UTC, or record time in µs.',
    },
    security: [{ session: [] }, { program: [] }],
    paths,
  };
  // Definitions that came with a schema go to the components, and what points to them follows.
  const rewritten = hoisted(document, named) as Json;
  const schemas = { Problem: jsonSchema(problemSchema, 'output'), ...named };
  return { ...rewritten, components: { schemas, responses: RESPONSES, securitySchemes: SECURITY_SCHEMES } };
}

function hoisted(value: unknown, named: Json): unknown {
  if (Array.isArray(value)) return value.map(one => hoisted(one, named));
  if (typeof value !== 'object' || value === null) return value;
  const { $defs, ...rest } = value as Json & { $defs?: Json };
  for (const [id, schema] of Object.entries($defs ?? {})) named[id] ??= hoisted(schema, named);
  return Object.fromEntries(
    Object.entries(rest).map(([key, one]) => [
      key,
      key === '$ref' && typeof one === 'string'
        ? one.replace('#/$defs/', '#/components/schemas/')
        : hoisted(one, named),
    ]),
  );
}

function operationOf(spec: RouteSpec): Json {
  const isEntry = spec.method !== 'get';
  const hasBody = spec.method === 'post';
  const { header } = spec;
  return {
    operationId: spec.operationId,
    summary: spec.summary,
    ...accessOf(spec.may),
    parameters: [
      ...parametersOf(spec.params, 'path'),
      ...parametersOf(spec.query, 'query'),
      ...(isEntry ? [{ name: 'x-girthlog', in: 'header', required: true, schema: { const: '1' } }] : []),
      ...(header ? [{ ...header, in: 'header', schema: { type: 'string' } }] : []),
    ],
    ...(hasBody
      ? {
          requestBody: {
            required: true,
            content: { 'application/json': { schema: bodySchema(spec) } },
          },
        }
      : {}),
    responses: {
      ...(spec.may === 'anyone' ? {} : SIGN_IN_FIRST),
      [spec.status]: spec.media === null ? jsonAnswer('Answer', spec.response) : fileAnswer(spec.media),
      ...problemAnswers({
        ...COMMON_PROBLEMS,
        ...(spec.may === 'anyone' ? {} : FORBIDDEN),
        ...(hasAuthor(spec) ? { authorOther: 403 } : {}),
        ...(isEntry ? ENTRY_PROBLEMS : {}),
        pathInvalid: 400,
        queryInvalid: 400,
        ...spec.problems,
      }),
    },
  };
}

/** A person who is signed in need not say who enters it. */
function bodySchema(spec: RouteSpec): Json {
  const schema = namedSchema(spec.body, 'input') as Json & { required?: string[] };
  if (!hasAuthor(spec)) return schema;
  return { ...schema, required: (schema.required ?? []).filter(name => name !== 'author') };
}

function streamOperation(): Json {
  const events = Object.entries(streamEvents).map(([event, schema]) => ({
    type: 'object',
    properties: { event: { const: event }, data: namedSchema(schema as z.ZodType, 'output') },
  }));
  return {
    operationId: 'watch',
    summary: 'Server-Sent Events: the whole picture first, then changes',
    ...accessOf('read'),
    parameters: [
      { name: 'last-event-id', in: 'header', required: false, schema: { type: 'string' } },
      ...parametersOf(streamQuerySchema, 'query'),
    ],
    responses: {
      ...SIGN_IN_FIRST,
      200: {
        description: 'event: is the key, data: the JSON of its schema',
        content: { 'text/event-stream': { schema: { oneOf: events } } },
      },
      ...problemAnswers({ ...COMMON_PROBLEMS, ...FORBIDDEN, queryInvalid: 400, streamFull: 503 }),
    },
  };
}

function parametersOf(schema: z.ZodType, where: 'path' | 'query'): Json[] {
  const { properties = {}, required = [] } = jsonSchema(schema, 'input') as {
    properties?: Record<string, Json>;
    required?: string[];
  };
  return Object.entries(properties).map(([name, property]) => ({
    name,
    in: where,
    required: required.includes(name),
    schema: property,
  }));
}

function problemAnswers(problems: Readonly<Record<string, number>>): Json {
  const byStatus = new Map<number, string[]>();
  for (const [code, status] of Object.entries(problems)) {
    byStatus.set(status, [...(byStatus.get(status) ?? []), code]);
  }
  return Object.fromEntries(
    [...byStatus].map(([status, codes]) => [
      status,
      {
        description: `code: ${codes.join(', ')}`,
        content: { 'application/problem+json': { schema: { $ref: '#/components/schemas/Problem' } } },
      },
    ]),
  );
}

const fileAnswer = (media: string): Json => ({
  description: 'A file, sent as it is made',
  content: { [media]: { schema: { type: 'string', contentMediaType: media } } },
});

function jsonAnswer(description: string, schema: z.ZodType): Json {
  return { description, content: { 'application/json': { schema: namedSchema(schema, 'output') } } };
}

export function jsonSchema(schema: z.ZodType, io: 'input' | 'output'): Json {
  const { $schema: _dialect, ...rest } = z.toJSONSchema(schema, { io, unrepresentable: 'any' }) as Json;
  return rest;
}

function namedSchema(schema: z.ZodType, io: 'input' | 'output'): Json {
  const options = { io, unrepresentable: 'any', metadata: NAMED } as const;
  const { $schema: _dialect, ...rest } = z.toJSONSchema(schema, options) as Json;
  return rest;
}
