/** docs/journal.md says what the code does. */
import { readdirSync, readFileSync } from 'node:fs';
import { describe, expect, it } from 'vitest';
import { CHECK_RULES } from '#core/journal/check-rules';
import { entryBodySchema, REASON_NEEDED } from '#core/journal/entry';
import { PASS_TABLE_COLUMNS } from '#core/procedure/pass-table';
import { ENTRY_PROBLEMS } from '../../../dashboard/server/api/check-entry.ts';

const root = new URL('../../../', import.meta.url);
const text = readFileSync(new URL('docs/journal.md', root), 'utf8');
const core = new URL('shared-core/journal/', root);

/** Codes as they stand in the code of the folds and of the server. */
function findingCodes(): string[] {
  const files = readdirSync(core).map(name => readFileSync(new URL(name, core), 'utf8'));
  files.push(readFileSync(new URL('dashboard/server/api/journal-handlers.ts', root), 'utf8'));
  const written = files.flatMap(file => [
    ...[...file.matchAll(/finding\(\s*'(\w+)'/g)].map(([, code]) => code!),
    ...[...file.matchAll(/code: '(\w+)'/g)].map(([, code]) => code!),
  ]);
  // Two are put together from what they are about.
  const built = ['preheatMissing', 'interpassMissing', 'spoolChangeLotMissing', 'gasBottleChangeLotMissing'];
  return [...new Set([...written, ...built])];
}

describe('docs/journal.md', () => {
  it('names every kind, and marks those that need a reason', () => {
    const rows = [...text.matchAll(/^\| `(\w+)`( \(reason\))? \|/gm)];
    const kinds = entryBodySchema.options.map(option => option.shape.kind.value);
    expect(rows.map(([, kind]) => kind).filter(kind => kinds.includes(kind as 'crew'))).toEqual(kinds);
    expect(rows.flatMap(([, kind, reason]) => (reason ? [kind] : []))).toEqual([...REASON_NEEDED]);
  });

  it('names every refusal and every finding', () => {
    const codes = findingCodes();
    expect(codes.length).toBeGreaterThan(35);
    for (const code of [...Object.keys(ENTRY_PROBLEMS), ...codes]) expect(text).toContain(`\`${code}\``);
  });

  it('gives the interval and the causes of every check', () => {
    const rows = text
      .slice(text.indexOf('| Check | Good for'), text.indexOf('A new shift begins'))
      .split('\n');
    for (const [check, rule] of Object.entries(CHECK_RULES)) {
      const row = rows.find(line => line.startsWith('|') && line.includes(`\`${check}\``)) ?? '';
      const hours = rule.defaultHours;
      expect(row).toContain(hours % 168 === 0 ? `${hours / 24} days` : `${hours} h`);
      expect(row).toMatch(rule.everyShift ? /\| yes \|/ : /\| no \|/);
      for (const cause of rule.after) expect(row).toContain(cause.replace('Change', ' change'));
    }
  });

  it('names every column of a pass table', () => {
    for (const column of PASS_TABLE_COLUMNS) expect(text).toContain(`\`${column}\``);
  });
});
