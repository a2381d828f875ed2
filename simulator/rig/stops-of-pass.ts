import type { Fault } from '../faults/fault.ts';
import type { PassStop, SequenceState } from './pass-sequence.ts';

/** The carriage is put back for a restart at this speed, at the weld (common practice, no source). */
const REPOSITION_MM_S = 8;
const THERE_MM = 0.5;

/** The stops of a running pass, and where the carriage is put before each restart. */
export class StopsOfPass {
  list: readonly PassStop[];
  private targetMm: number | null = null;

  constructor(faults: readonly Fault[]) {
    this.list = stopsOf(faults);
  }

  /** A stop more; those already made stay as they are. */
  add(fault: Fault, made: number): void {
    const ahead = [...this.list.slice(made), ...stopsOf([fault])].sort((a, b) => a.atMm - b.atMm);
    this.list = [...this.list.slice(0, made), ...ahead];
  }

  /** Speed at the weld, mm/s, that the carriage is put with; 0 except while it waits for a restart elsewhere. */
  repositionMmS({ phase, stopsMade }: SequenceState, alongMm: number): number {
    const overlapMm = this.list[stopsMade]?.overlapMm ?? 0;
    if (phase !== 'waiting' || overlapMm === 0) {
      this.targetMm = null;
      return 0;
    }
    this.targetMm ??= Math.max(0, alongMm - overlapMm);
    const leftMm = this.targetMm - alongMm;
    return Math.abs(leftMm) < THERE_MM ? 0 : Math.sign(leftMm) * REPOSITION_MM_S;
  }
}

function stopsOf(faults: readonly Fault[]): PassStop[] {
  return faults
    .filter(fault => fault.kind === 'stopRestart')
    .map(fault => ({ atMm: fault.fromMm, pauseS: fault.size, overlapMm: fault.overlapMm ?? 0 }))
    .sort((a, b) => a.atMm - b.atMm);
}
