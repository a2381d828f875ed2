/** Requests made of the OpenAPI document: as it says, then most often spoilt in one part. */
import type { Dice } from './dice.ts';
import { type JsonSchema, SchemaValues } from './from-schema.ts';
import { mutateJson, NASTY_TEXT, nestedText } from './mutate.ts';

export interface HttpCase {
  /** Of the document; null: a path or method it does not have. */
  readonly operation: Operation | null;
  readonly method: string;
  readonly path: string;
  readonly headers: Readonly<Record<string, string>>;
  readonly body: string | null;
}

export interface Operation {
  readonly path: string;
  readonly method: string;
  readonly operationId: string;
  readonly parameters: readonly { readonly name: string; readonly in: string; readonly schema: JsonSchema }[];
  readonly body: JsonSchema | null;
  readonly statuses: readonly number[];
}

type Document = { readonly paths: Readonly<Record<string, Readonly<Record<string, unknown>>>> } & JsonSchema;

export function operationsOf(document: Document): Operation[] {
  return Object.entries(document.paths).flatMap(([path, methods]) =>
    Object.entries(methods).map(([method, spec]): Operation => {
      const { operationId, parameters, requestBody, responses } = spec as {
        operationId: string;
        parameters?: Operation['parameters'];
        requestBody?: { content: Record<string, { schema: JsonSchema }> };
        responses: Record<string, unknown>;
      };
      return {
        path,
        method: method.toUpperCase(),
        operationId,
        parameters: parameters ?? [],
        body: requestBody?.content['application/json']?.schema ?? null,
        statuses: Object.keys(responses).map(Number),
      };
    }),
  );
}

/** Names that a store made for the run really has, so that some requests get further than "unknown". */
export type KnownNames = Readonly<Record<string, string>>;

export function requestOf(
  dice: Dice,
  document: Document,
  operations: readonly Operation[],
  known: KnownNames,
): HttpCase {
  const operation = dice.pick(operations);
  const values = new SchemaValues(dice, document);
  const spoilt = dice.pick([
    'nothing',
    'path',
    'query',
    'query',
    'body',
    'body',
    'body',
    'headers',
    'method',
  ]);
  const text = (schema: JsonSchema, name: string): string =>
    dice.chance(0.7) && known[name] !== undefined ? known[name] : String(values.of(schema));
  const path = operation.path.replaceAll(/\{(\w+)\}/g, (_whole, name: string) => {
    const schema = operation.parameters.find(one => one.in === 'path' && one.name === name)?.schema ?? {};
    const value =
      spoilt === 'path' && dice.chance(0.7) ? dice.pick(NASTY_TEXT).slice(0, 3000) : text(schema, name);
    // As a careless program would send it; what no request line can carry left out.
    return dice.chance(0.05) ? value.replaceAll(/[^!-~]|[?#%]/g, '') : escaped(value);
  });
  const query = operation.parameters
    .filter(one => one.in === 'query' && dice.chance(0.4))
    .map(({ name, schema }) => [name, text(schema, name)] as [string, string]);
  if (spoilt === 'query') {
    const name = dice.pick([...operation.parameters.map(one => one.name), '__proto__', 'limit[]', 'a']);
    query.push([name, dice.pick(NASTY_TEXT).slice(0, 3000)]);
    if (dice.chance(0.2)) query.push(query[0]!);
  }
  const search = query.map(([name, value]) => `${escaped(name)}=${escaped(value)}`).join('&');
  return {
    operation: spoilt === 'method' ? null : operation,
    method:
      spoilt === 'method'
        ? dice.pick(['PUT', 'PATCH', 'DELETE', 'OPTIONS', 'POST', 'GET'])
        : operation.method,
    path: search === '' ? path : `${path}?${search}`,
    headers: headersOf(dice, spoilt === 'headers'),
    body: bodyOf(dice, operation, values, spoilt === 'body'),
  };
}

/** Half a character has no UTF-8, so no address can carry one. */
const escaped = (text: string): string => encodeURIComponent(text.replaceAll(/[\uD800-\uDFFF]/g, '\uFFFD'));

function headersOf(dice: Dice, isSpoilt: boolean): Record<string, string> {
  const good = { 'content-type': 'application/json', 'x-girthlog': '1' };
  if (!isSpoilt) return good;
  return {
    ...good,
    ...dice.pick<Record<string, string>>([
      { 'x-girthlog': '0' },
      { origin: 'http://elsewhere.example' },
      { host: 'elsewhere.example' },
      { 'content-type': 'text/plain' },
      { 'content-type': 'application/json; charset=utf-99' },
      { 'content-encoding': 'gzip' },
      { 'x-http-method-override': 'DELETE' },
      { cookie: `__Host-session=${'x'.repeat(3000)}` },
      { range: 'bytes=0-,5-,9-' },
      { 'if-none-match': '*' },
      { 'last-event-id': '../../x' },
      { 'accept-language': '*'.repeat(500) },
      { authorization: 'Bearer ' },
      { 'x-forwarded-for': '127.0.0.1' },
    ]),
  };
}

function bodyOf(
  dice: Dice,
  { body, method }: Operation,
  values: SchemaValues,
  isSpoilt: boolean,
): string | null {
  if (method === 'GET') return null;
  const good = body === null ? {} : values.of(body);
  if (!isSpoilt) return JSON.stringify(good);
  switch (dice.below(8)) {
    case 0:
      return nestedText(dice.pick([100, 20_000]));
    case 1:
      return `{"__proto__":{"polluted":true},${JSON.stringify(good).slice(1)}`;
    case 2:
      return 'x'.repeat(70_000);
    case 3:
      return dice.pick(['', 'null', '[]', '"text"', '{', '{"a":1,"a":2}', '\u0000']);
    default:
      return JSON.stringify(mutateJson(dice, good)) ?? '';
  }
}
