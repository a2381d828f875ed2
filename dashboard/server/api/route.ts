/** One route as data: what it takes and gives. The same table makes the server and the OpenAPI document. */

import type { Express, Request } from 'express';
import { z } from 'zod';
import type { Right } from '#core/messages/api-account';
import { canonicalJson } from '#core/record/canonical-json';
import { askerOf } from '../auth/access-guard.ts';
import type { Asker } from '../auth/actor.ts';
import { ApiProblem, type ProblemStatus } from './problem.ts';

export interface RouteSpec<
  P extends z.ZodType = z.ZodType,
  Q extends z.ZodType = z.ZodType,
  B extends z.ZodType = z.ZodType,
  R extends z.ZodType = z.ZodType,
> {
  readonly method: 'get' | 'post' | 'delete';
  /** OpenAPI form: /api/v1/joints/{joint}. */
  readonly path: string;
  readonly operationId: string;
  readonly summary: string;
  /** What who asks must have the right to; `anyone`: it is asked before anybody is known. */
  readonly may: Right | 'anyone';
  readonly params: P;
  readonly query: Q;
  readonly body: B;
  readonly response: R;
  /** 200, or 201 for what a POST made. */
  readonly status: 200 | 201;
  /** The answer is sent as its one canonical text (RFC 8785), so that what was signed can be read off it. */
  readonly canonical: boolean;
  /** Content type of an answer that is a file; null where it is JSON. */
  readonly media: string | null;
  /** A header it reads, beside those of every route. */
  readonly header: { readonly name: string; readonly required: boolean } | null;
  /** Problem codes it may answer with, beside those of every route. */
  readonly problems: Readonly<Record<string, ProblemStatus>>;
}

export const nothing = z.strictObject({});

export function route<
  R extends z.ZodType,
  P extends z.ZodType = typeof nothing,
  Q extends z.ZodType = typeof nothing,
  B extends z.ZodType = typeof nothing,
>(spec: {
  method: 'get' | 'post' | 'delete';
  path: string;
  operationId: string;
  summary: string;
  may: Right | 'anyone';
  response: R;
  params?: P;
  query?: Q;
  body?: B;
  problems?: Record<string, ProblemStatus>;
  canonical?: boolean;
  media?: string;
  header?: { name: string; required: boolean };
}): RouteSpec<P, Q, B, R> {
  return {
    params: nothing as unknown as P,
    query: nothing as unknown as Q,
    body: nothing as unknown as B,
    problems: {},
    canonical: false,
    media: null,
    header: null,
    ...spec,
    status: spec.method === 'post' ? 201 : 200,
  };
}

export type Handler<S extends RouteSpec> = (input: {
  params: z.infer<S['params']>;
  query: z.infer<S['query']>;
  body: z.infer<S['body']>;
  asker: Asker;
}) => z.infer<S['response']> | Promise<z.infer<S['response']>>;

/** Adds a route to the server: its input is checked before the handler sees it. */
export function serve<S extends RouteSpec>(app: Express, spec: S, handler: Handler<S>): void {
  app[spec.method](expressPath(spec), async (request: Request, response) => {
    const answer = await handler(inputOf(spec, request));
    response.status(spec.status);
    if (spec.canonical) response.type('application/json').send(canonicalJson(answer));
    else response.json(answer);
  });
}

export const expressPath = ({ path }: RouteSpec): string => path.replaceAll(/\{(\w+)\}/g, ':$1');

/** What a handler is given, once it fits the route's schemas; throws ApiProblem. */
export function inputOf<S extends RouteSpec>(spec: S, request: Request): Parameters<Handler<S>>[0] {
  const asker = askerOf(request);
  return {
    asker,
    params: checked('path', 'pathInvalid', spec.params, request.params),
    query: checked('query', 'queryInvalid', spec.query, request.query),
    body: checked('body', 'bodyInvalid', spec.body, authored(spec, request.body ?? {}, asker)),
  } as Parameters<Handler<S>>[0];
}

/** Whether what is entered by it carries its author. */
export function hasAuthor({ body }: RouteSpec): boolean {
  return body instanceof z.ZodObject && 'author' in body.shape;
}

/** A person enters under their own name, which need not be said. A program says in whose name it enters. */
function authored(spec: RouteSpec, body: unknown, { actor }: Asker): unknown {
  if (!hasAuthor(spec) || typeof body !== 'object' || body === null || actor.kind !== 'person') return body;
  const { author } = body as { author?: unknown };
  if (author === undefined || author === actor.person.id) return { ...body, author: actor.person.id };
  throw new ApiProblem(
    403,
    'authorOther',
    `${actor.person.name} is signed in: what is entered here is entered under that name.`,
  );
}

export function checked<T>(where: string, code: string, schema: z.ZodType<T>, value: unknown): T {
  const result = schema.safeParse(value);
  if (result.success) return result.data;
  const issue = result.error.issues[0];
  const at = issue && issue.path.length > 0 ? ` at ${issue.path.join('.')}` : '';
  throw new ApiProblem(
    400,
    code,
    `The ${where} is not valid${at}: ${issue?.message ?? 'unreadable'}.`.slice(0, 400),
  );
}
