import { describe, expect, it } from 'vitest';
import { en } from '../../../dashboard/web/text/en.ts';
import { es } from '../../../dashboard/web/text/es.ts';

type Node = unknown;
const isGroup = (node: Node): node is Record<string, Node> => typeof node === 'object' && node !== null;

/** Every text of a catalogue by its path. */
function leaves(node: Node, path = ''): Map<string, Node> {
  if (!isGroup(node)) return new Map([[path, node]]);
  return new Map(
    Object.entries(node).flatMap(([key, value]) => [...leaves(value, path === '' ? key : `${path}.${key}`)]),
  );
}

/** What a function text is called with here: numbers that no text carries itself, and words that no language has. */
const WORDS = ['Qz1', 'Qz2', 'Qz3', 'Qz4', 'Qz5', 'Qz6', 'Qz7'];
const NUMBERS = [7001, 7002, 7003, 7004, 7005, 7006, 7007];
const CALLS: readonly (readonly unknown[])[] = [
  WORDS,
  NUMBERS,
  ['Qz1', 7002, 7003, 7004],
  ['Qz1', 'Qz2', 7003],
];

/** The given values found in a text, whatever their order. */
const valuesIn = (text: string): string[] =>
  [...new Set(text.match(/qz\d|700\d/gi)?.map(one => one.toLowerCase()))].sort();

const english = leaves(en);
const spanish = leaves(es);

describe('the Spanish catalogue', () => {
  it('has exactly the texts of the English one, none empty where the English is not', () => {
    expect([...spanish.keys()].sort()).toEqual([...english.keys()].sort());
    for (const [path, text] of english) {
      expect(typeof spanish.get(path), path).toBe(typeof text);
      if (typeof text === 'string') expect(spanish.get(path) === '', path).toBe(text === '');
    }
  });

  it('says the same values: called with the same arguments, both languages carry them', () => {
    const differing: string[] = [];
    const compared = new Set<string>();
    for (const [path, text] of english) {
      if (typeof text !== 'function') continue;
      for (const args of CALLS) {
        const said = [text, spanish.get(path) as typeof text].map(one => {
          try {
            return valuesIn(String(one(...args)));
          } catch {
            return null;
          }
        });
        // A text that takes words cannot be asked with numbers, nor the other way round.
        if (said.includes(null)) continue;
        compared.add(path);
        if (JSON.stringify(said[0]) !== JSON.stringify(said[1]))
          differing.push(`${path}: ${JSON.stringify(said)}`);
      }
    }
    expect(differing).toEqual([]);
    const functions = [...english].filter(([, text]) => typeof text === 'function');
    expect(functions.map(([path]) => path).filter(path => !compared.has(path))).toEqual([]);
  });

  it('says one and many apart wherever English does', () => {
    const counted: string[] = [];
    for (const [path, text] of english) {
      if (typeof text !== 'function' || text.length !== 1) continue;
      const shape = (of: (n: number) => string, n: number): string => of(n).replaceAll(String(n), 'n');
      const one = spanish.get(path) as (n: number) => string;
      try {
        if (shape(text as never, 1) === shape(text as never, 7)) continue;
        if (shape(one, 1) === shape(one, 7)) counted.push(path);
      } catch {
        // Not a text of one number.
      }
    }
    expect(counted).toEqual([]);
  });

  /** Words both languages share, names, units and marks. */
  const SAME = new Set([
    'accounts.roles.inspector',
    'language',
    'product',
    'alarms.lifecycle.normal',
    'changes.calls.mark.real',
    'dispositions.roles.inspector',
    'joints.verdictState.marginal',
    'procedures.columns.nominal',
    'procedures.edit.numbers.nominal',
    'procedures.field.nominal',
    'review.pass.states.marginal',
    'review.scan.head',
    'rigEvents.short.gasBottleChange',
    'screen.themes.auto',
    'origin.real',
    'shift.gas',
    'verify.factor.value',
  ]);

  it('is not the English text left standing', () => {
    const left = [...english].filter(
      ([path, text]) =>
        typeof text === 'string' && /[a-z]{3}/i.test(text) && spanish.get(path) === text && !SAME.has(path),
    );
    expect(left.map(([path, text]) => `${path}: ${text}`)).toEqual([]);
  });
});
