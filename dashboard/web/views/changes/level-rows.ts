import { type IndividualsLimits, individualsLimits } from '#core/drift/individuals';
import type { OverJoints, PassTypes } from '#core/messages/api-watch';
import type { OverQuantity } from './over-quantities.ts';

/** Fewer values say little of what is usual (common practice, no source). */
export const ENOUGH_VALUES = 8;

type OverPass = OverJoints['passes'][number];

export interface LevelRow {
  readonly rig: string;
  readonly side: string;
  readonly values: readonly {
    readonly key: string;
    readonly pass: OverPass;
    /** In the shown unit. */
    readonly value: number;
    readonly outside: boolean;
  }[];
  readonly limits: IndividualsLimits | null;
  readonly unknown: number;
}

/** One row per rig and side in the order of their names; limits from its own values. */
export function levelRows(
  passes: readonly OverPass[],
  quantity: Exclude<OverQuantity, 'closure'>,
  shown: (stored: number) => number,
): LevelRow[] {
  const groups = new Map<string, OverPass[]>();
  for (const pass of passes) {
    const key = `${pass.rig} ${pass.side}`;
    groups.set(key, [...(groups.get(key) ?? []), pass]);
  }
  return [...groups]
    .sort(([a], [b]) => (a < b ? -1 : 1))
    .map(([, group]) => {
      const known = group.flatMap(pass => {
        const stored = pass[quantity];
        return stored === null ? [] : [{ pass, value: shown(stored) }];
      });
      const limits = known.length < ENOUGH_VALUES ? null : individualsLimits(known.map(({ value }) => value));
      return {
        rig: group[0]!.rig,
        side: group[0]!.side,
        values: known.map(({ pass, value }) => ({
          key: pass.passId,
          pass,
          value,
          outside: limits !== null && (value < limits.lower || value > limits.upper),
        })),
        limits,
        unknown: group.length - known.length,
      };
    });
}

/** A pass type as it stands in an address: origin, procedure, pass. */
export const typeKey = ({ origin, procedureId, pass }: PassTypes['types'][number]): string =>
  `${origin} ${procedureId} ${pass}`;
