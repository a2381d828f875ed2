import type { Side } from '#core/messages/common';
import type { Fault } from '../faults/fault.ts';
import type { SetPoint } from './set-point.ts';

/** One pass of one side that a rig is going to weld. */
export interface PlannedPass {
  readonly joint: string;
  readonly side: Side;
  readonly setPoint: SetPoint;
  /** Simulated time at which gas is to open, s; later when the rig is still busy. */
  readonly startsAtS: number;
  /** Where it starts, degrees from 12 o'clock in the side's own direction. */
  readonly startDegrees: number;
  /** Run-out length at the pipe's surface, mm. */
  readonly lengthMm: number;
  readonly faults: readonly Fault[];
  /** Of `startsAtS`, what the crew is late, s. */
  readonly lateS?: number;
}
