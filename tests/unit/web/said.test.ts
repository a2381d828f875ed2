import { readFileSync } from 'node:fs';
import { join } from 'node:path';
import { parseAst } from 'rolldown/parseAst';
import { afterEach, describe, expect, it } from 'vitest';
import { CATALOGUE } from '#core/calculations/catalogue';
import { ES_PHRASES } from '#core/phrases/es-phrases';
import { PhraseBook } from '#core/phrases/phrase-book';
import { said } from '../../../dashboard/web/text/said.ts';
import { manner, showLanguage } from '../../../dashboard/web/text/text.ts';

const ROOT = join(import.meta.dirname, '../../..');
const before = manner.value;
afterEach(async () => {
  await showLanguage('en');
  manner.value = before;
});

interface Node {
  readonly type: string;
  readonly [key: string]: unknown;
}
const isNode = (value: unknown): value is Node =>
  typeof value === 'object' && value !== null && typeof (value as Node).type === 'string';

/** A string, a template or a sum of them as one text, `{}` for each value in it; null for anything else. */
function textOf(node: Node): string | null {
  if (node.type === 'Literal') return typeof node['value'] === 'string' ? node['value'] : null;
  if (node.type === 'TemplateLiteral') {
    const quasis = node['quasis'] as { readonly value: { readonly cooked: string } }[];
    return quasis.map(({ value }) => value.cooked).join('{}');
  }
  if (node.type !== 'BinaryExpression' || node['operator'] !== '+') return null;
  const [left, right] = [textOf(node['left'] as Node), textOf(node['right'] as Node)];
  return left === null || right === null ? null : left + right;
}

/** Every sentence that stands whole in a source file. */
function sentencesOf(file: string): string[] {
  const found: string[] = [];
  const visit = (value: unknown): void => {
    if (Array.isArray(value)) {
      for (const one of value) visit(one);
      return;
    }
    if (!isNode(value)) return;
    const text = textOf(value);
    if (text !== null) found.push(text);
    if (value.type === 'BinaryExpression' && text !== null) return;
    for (const one of Object.values(value)) visit(one);
  };
  visit(parseAst(readFileSync(join(ROOT, file), 'utf8'), { lang: 'ts' }));
  return found.filter(text => /^[A-Z{].* .*[.?]$/s.test(text) && !/^[A-Z]+ .* (FROM|INTO) /.test(text));
}

/** Where sentences are made that the page shows. */
const SOURCES = [
  'shared-core/journal/crew-findings.ts',
  'shared-core/journal/procedure-findings.ts',
  'shared-core/journal/proposal.ts',
  'shared-core/journal/readiness.ts',
  'shared-core/journal/reading-findings.ts',
  'shared-core/journal/record-findings.ts',
  'shared-core/journal/work-findings.ts',
  'shared-core/pass/signal-events.ts',
  'shared-core/pass/pass-mismatch-events.ts',
  'shared-core/pass/out-of-range-events.ts',
  'shared-core/training/sensitivity.ts',
  'dashboard/server/api/rejudge.ts',
  'dashboard/server/api/rerun.ts',
  'dashboard/server/review/pass-windows.ts',
  'dashboard/server/alarms/rig-watch.ts',
  'dashboard/server/alarms/internal-watch.ts',
  'dashboard/server/alarms/alarm-handlers.ts',
  'dashboard/server/health/store-watch.ts',
  'dashboard/server/health/truck-store-errors.ts',
  'dashboard/server/training/session-debrief.ts',
  'dashboard/server/training/session-entries.ts',
  'dashboard/server/training/training-desk.ts',
  'dashboard/server/export/export-handlers.ts',
  'edge/capture/conditions.ts',
  'edge/capture/storage-conditions.ts',
];
/** Values that stand where a sentence has one; a number, for some templates are of numbers. */
const filled = (template: string): string => {
  let n = 0;
  return template.replace(/\{\}/g, () => `Qz${++n}`);
};

/** Pieces of sentences put together where they are made; the whole ones are in the book. */
const PIECES = new Set([
  '{}: due{}{}.',
  '{}: {}.',
  '{} was not released by {}{}',
  'A pass recorded {} on {}/{} {}.',
  '{}, side {}, would come before {}, which is {} there.',
  '{} {} mm is outside {}: {}.',
  'The {} was changed {} and its {} lot is not entered.',
  '{} for {}: {} °C {}, read by {}; the WPS allows {}.',
  "The truck's disk has {} % free ({} GB){}.",
  'The edge of {} {}.{}',
  '{} {} {}, which is not its own: it was refused.',
  'The store was damaged and moved aside; a new one is in use. {}',
  'Export {} has no file: it is {}.',
  'Enter the {} lot.',
]);

describe('sentences written in English elsewhere', () => {
  const book = new PhraseBook(ES_PHRASES);

  it.each(SOURCES)('are all in the Spanish book: %s', file => {
    const sentences = sentencesOf(file);
    const unknown = sentences.filter(one => !PIECES.has(one) && book.find(filled(one)) === null);
    expect(unknown).toEqual([]);
  });

  it('titles, inputs, results and cautions of every sum are in it', () => {
    const words = CATALOGUE.flatMap(({ title, caution, validity, provenBy, inputs, outputs }) => [
      title,
      provenBy,
      ...(caution === null ? [] : [caution]),
      ...(/[a-z]{4}/.test(validity) ? [validity] : []),
      ...Object.values(inputs).map(({ label }) => label),
      ...Object.values(outputs).map(({ label }) => label),
    ]);
    const same = /^(CE \(|Pcm|CET$)/;
    expect([...new Set(words)].filter(one => !same.test(one) && book.find(one) === null)).toEqual([]);
  });

  it('keep their values: each placeholder of the English template stands in the Spanish one', () => {
    const wrong = ES_PHRASES.filter(([english, other]) => {
      const count = english.split('{}').length - 1;
      const used = new Set([...other.matchAll(/\{(\d)\}/g)].map(([, n]) => Number(n)));
      return used.size !== count || [...used].some(n => n < 1 || n > count);
    });
    expect(wrong).toEqual([]);
  });

  it('are said as far as they are known, one after the other, values included', () => {
    expect(book.say('Joint J-1 is on hold since 2026-05-12 08:00 UTC, by A. Example: no reason given')).toBe(
      'La junta J-1 está retenida desde 2026-05-12 08:00 UTC, por A. Example: sin motivo indicado',
    );
    expect(book.say('Gas flow is not measured. The dog sleeps.')).toBe(
      'El caudal de gas no se mide. The dog sleeps.',
    );
    // As the demo's edges wrote them: a value in brackets, and sentences that follow, are not part of a value before.
    expect(
      book.say('Travel speed (limits 6.9 to 8.1 mm/s): out of range (joint J-0101, side B, fill 2).'),
    ).toBe('Velocidad de avance (límites de 6.9 a 8.1 mm/s): fuera de rango (junta J-0101, lado B, fill 2).');
    expect(
      book.say(
        'Arc voltage (not above 25 V), welding current (limits 235 to 275 A): out of range (no joint assigned).',
      ),
    ).toBe(
      'Tensión de arco (no por encima de 25 V), corriente de soldadura (límites de 235 a 275 A): fuera de rango (sin junta asignada).',
    );
    expect(
      book.say(
        'Welding current falling by 28 A (4.3 σ) since 393 mm, 9:38 o’clock (joint J-0101, side A, hot). 2 changes hold. Looks like: stick-out longer; not a verdict.',
      ),
    ).toBe(
      'Corriente de soldadura, bajando: 28 A (4.3 σ) desde 393 mm, posición horaria 9:38 (junta J-0101, lado A, hot). 2 cambios se mantienen. Parece: extensión más larga; no es un dictamen.',
    );
    expect(book.say('Nobody wrote this.')).toBe('Nobody wrote this.');
    expect(book.find('Nobody wrote this.')).toBeNull();
    expect(book.say('Travel: due since 2026-05-12 08:00 UTC (new shift of 2026-05-12).')).toBe(
      'Avance: vencida desde 2026-05-12 08:00 UTC (turno nuevo de 2026-05-12).',
    );
  });
});

describe('a sentence as a device shows it', () => {
  it('has its units and clocks in English too', () => {
    manner.value = { ...before, units: 'inch', zone: 'America/Mexico_City' };
    // 5 mm/s = 11.8 in/min, 9 mm/s = 21.3 in/min (1 in = 25.4 mm, exact); 120 °C = 248 °F.
    expect(said('Travel 9.5 mm/s: limits 5.0 to 9.0 mm/s')).toBe(
      'Travel 22.4 in/min: limits 11.8 to 21.3 in/min',
    );
    expect(said('preheat 120 °C, OD 610 mm, joint J-12 of 3 m')).toBe(
      'preheat 248 °F, OD 24.016 in, joint J-12 of 3 m',
    );
    expect(said('since 2026-05-12 08:00 UTC')).toBe('since 12 May, 02:00');
  });

  it('has its language and decimal sign', async () => {
    await showLanguage('es');
    manner.value = { ...manner.value, decimal: 'comma', zone: 'UTC' };
    expect(said('No samples for 1.250 s.')).toBe('Sin muestras durante 1,250 s.');
    expect(said('feed 10.3 m/min, travel 8.1 mm/s')).toBe('alambre 10,3 m/min, avance 8,1 mm/s');
    expect(said('version 1.2.3 of rig-1.a at 08:00')).toBe('version 1.2.3 of rig-1.a at 08:00');
  });
});
