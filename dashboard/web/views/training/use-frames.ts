import { DEFAULT_SENSE } from '#core/position/circumferential-position';
import type { Mark } from '#core/training/session';
import { useApp } from '../../app-context.ts';
import type { FrameOf } from '../../charts/truth-geometry.ts';

export interface Frames {
  readonly frameOf: FrameOf;
  /** Passes in the order they are welded, as far as a procedure is known. */
  readonly order: readonly string[];
  /** Where a pass to its end is drawn to: half around, mm. */
  readonly endMm: (rig: string, pass: string) => number;
  /** The pass that runs on the mark's rig, where the mark was made in it; null: in an earlier one. */
  readonly passAt: (mark: Pick<Mark, 'rig' | 'at'>) => string | null;
}

/** Where each rig's side lies on the pipe now, by what it was assigned. */
export function useFrames(): Frames {
  const { rigs, procedures } = useApp();
  const entries = rigs.entries.value;
  // Read so that the strip follows what the rigs say.
  for (const entry of entries) entry.view.value;
  const entryOf = (rig: string) => entries.find(entry => entry.rig.rig === rig);
  const workOf = (rig: string) => entryOf(rig)?.rig.assignment?.work ?? null;
  const named = entries.flatMap(({ rig }) => rig.assignment?.work ?? [])[0];
  const procedure = named === undefined ? null : procedures.find(named.procedureId, named.procedureRevision);
  return {
    frameOf: rig => {
      const work = workOf(rig);
      if (work === null) return null;
      const { side, outsideDiameterMm } = work;
      // Assigned in the side's own direction of travel; a frame is clockwise.
      return { side, outsideDiameterMm, startDegrees: DEFAULT_SENSE[side] * work.startDegrees };
    },
    order: procedure?.passes.map(({ name }) => name) ?? [],
    endMm: rig => (Math.PI * (workOf(rig)?.outsideDiameterMm ?? 0)) / 2,
    passAt: ({ rig, at }) => {
      const live = entryOf(rig)?.rig.live ?? null;
      if (live?.pass == null || live.assignment === null) return null;
      const startMs = Date.parse(live.at) - (live.tUs - live.pass.startUs) / 1000;
      return Date.parse(at) >= startMs ? live.assignment.pass : null;
    },
  };
}
