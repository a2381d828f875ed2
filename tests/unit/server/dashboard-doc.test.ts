import { readFileSync } from 'node:fs';
import { describe, expect, it } from 'vitest';
import { EXIT } from '#core/program/program-error';
import type { RouteSpec } from '../../../dashboard/server/api/route.ts';
import { ROUTES } from '../../../dashboard/server/api/route-table.ts';
import { INTERNAL_EVENT_NAMES } from '../../../dashboard/server/internal-events.ts';
import { SETTING_NAMES } from '../../../dashboard/server/settings.ts';

const text = readFileSync(new URL('../../../docs/dashboard.md', import.meta.url), 'utf8');

describe('docs/dashboard.md', () => {
  it('names every setting', () => {
    for (const name of SETTING_NAMES) {
      expect(text).toContain(`| \`${name.replace(/[A-Z]/g, letter => `_${letter.toLowerCase()}`)}\` |`);
    }
  });

  it('names every route', () => {
    for (const { path, method } of Object.values(ROUTES) as RouteSpec[]) {
      expect(text).toMatch(new RegExp(`${method.toUpperCase()}[^|]* ${path.replace(/[{}/.]/g, '\\$&')}\``));
    }
  });

  it('lists the internal events, no more and no fewer', () => {
    const listed = [...text.slice(text.indexOf('## Internal events')).matchAll(/^\| `(\w+)`/gm)].map(
      ([, name]) => name,
    );
    expect(listed).toEqual([...INTERNAL_EVENT_NAMES]);
  });

  it('names every exit code it ends with', () => {
    const [line] = /Exit codes:[\s\S]*?\n\n/.exec(text) ?? [''];
    for (const code of [EXIT.usage, EXIT.configuration, EXIT.network, EXIT.storeFailed])
      expect(line).toMatch(new RegExp(`\\b${code} `));
  });
});
