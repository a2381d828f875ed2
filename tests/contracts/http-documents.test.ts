import { readFileSync } from 'node:fs';
import { describe, expect, it } from 'vitest';
import { DASHBOARD_TOPICS, EDGE_TOPICS } from '#core/topics/topics';
import { asyncApiDocument } from '../../dashboard/server/api/asyncapi.ts';
import { openApiDocument } from '../../dashboard/server/api/openapi.ts';
import { ROUTES } from '../../dashboard/server/api/route-table.ts';

interface Operation {
  readonly operationId: string;
  readonly parameters?: readonly { readonly name: string; readonly in: string; readonly required: boolean }[];
}

const printed = (document: unknown): string => `${JSON.stringify(document, null, 2)}\n`;
const kept = (name: string): string => readFileSync(new URL(`../../docs/${name}`, import.meta.url), 'utf8');

describe('documents of the interfaces', () => {
  it('docs/openapi.json is what the code says; renew: girthlog-dashboard openapi > docs/openapi.json', () => {
    expect(kept('openapi.json') === printed(openApiDocument())).toBe(true);
  });

  it('docs/asyncapi.json is what the code says; renew: girthlog-dashboard asyncapi > docs/asyncapi.json', () => {
    expect(kept('asyncapi.json') === printed(asyncApiDocument())).toBe(true);
  });

  it('name every route and every topic, each operation once', () => {
    const { openapi, paths } = openApiDocument() as {
      openapi: string;
      paths: Record<string, Record<string, Operation>>;
    };
    // OpenAPI 3.1.0, section 4.8.10: operationId is unique among all operations.
    expect(openapi).toBe('3.1.0');
    const ids = Object.values(paths).flatMap(path =>
      Object.values(path).map(operation => operation.operationId),
    );
    expect(new Set(ids).size).toBe(ids.length);
    for (const { path, method } of Object.values(ROUTES)) expect(paths[path]).toHaveProperty(method);
    // Every template in a path has a required parameter (section 4.8.9).
    for (const [path, methods] of Object.entries(paths)) {
      for (const operation of Object.values(methods)) {
        const inPath = operation.parameters?.filter(one => one.in === 'path' && one.required) ?? [];
        expect(inPath.map(one => `{${one.name}}`).sort()).toEqual((path.match(/\{\w+\}/g) ?? []).sort());
      }
    }
    const { asyncapi, channels } = asyncApiDocument() as { asyncapi: string; channels: object };
    expect(asyncapi).toBe('3.0.0');
    expect(Object.keys(channels).sort()).toEqual(
      [...Object.keys(EDGE_TOPICS), ...Object.keys(DASHBOARD_TOPICS)].sort(),
    );
  });
});
