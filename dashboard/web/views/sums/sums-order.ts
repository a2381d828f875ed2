import type { Calculation, CalculationGroup } from '#core/calculations/calculation';
import { said } from '../../text/said.ts';
import type { SumsMemory } from './sums-memory.ts';

/** What a technician needs most at the rig (common practice, no source); until this device knows better. */
const FIRST = ['travel-check', 'wire-check', 'arc-energy-means', 'heat-input', 'spool-left', 'preheat'];
const MOST = 6;

/** The few used most on this device, then the usual ones, at most six. */
export function mostUsed(catalogue: readonly Calculation[], memory: SumsMemory): readonly Calculation[] {
  const rank = ({ name }: Calculation): number => {
    const usual = FIRST.indexOf(name);
    return (memory.used[name] ?? 0) + (usual < 0 ? 0 : 1 - usual / FIRST.length);
  };
  return catalogue
    .filter(entry => rank(entry) > 0)
    .toSorted((a, b) => rank(b) - rank(a))
    .slice(0, MOST);
}

export interface SumsGroup {
  readonly group: CalculationGroup;
  readonly entries: readonly Calculation[];
}

/** Every calculation in the groups of the catalogue, those whose words hold all that was typed. */
export function sumsGroups(catalogue: readonly Calculation[], typed: string): readonly SumsGroup[] {
  const words = typed.toLowerCase().split(/\s+/).filter(Boolean);
  const found = catalogue.filter(entry => {
    const inputs = Object.values(entry.inputs).map(input => input.label);
    const outputs = Object.values(entry.outputs).map(output => output.label);
    const all = [entry.title, entry.name, entry.group, ...inputs, ...outputs]
      .flatMap(one => [one, said(one)])
      .join(' ')
      .toLowerCase();
    return words.every(word => all.includes(word));
  });
  const groups = [...new Set(found.map(entry => entry.group))];
  return groups.map(group => ({ group, entries: found.filter(entry => entry.group === group) }));
}
