import type { Side } from '#core/messages/common';
import type { Fault } from '../faults/fault.ts';
import { SEQUENCE_TIMES } from '../rig/pass-sequence.ts';
import type { PlannedPass } from '../rig/planned-pass.ts';
import type { SetPoint } from '../rig/set-point.ts';
import type { Scenario, ScenarioFault, ScenarioRig } from './scenario.ts';
import { passesOf } from './scenario-passes.ts';

/** Time a schedule allows each pass on top of its travel: sequence, strike, small delays. */
const SLACK_S = 3;

/**
 * The passes of one rig, joint after joint, on a timetable that follows from the scenario alone: both
 * sides of a joint keep together, and no rig waits for what another happens to do.
 * `pair` numbers crews of two sides; crew p works on joints of its own, 1000 × p further on.
 */
export function* plannedPasses(scenario: Scenario, rig: ScenarioRig, pair: number): Generator<PlannedPass> {
  const { joints, schedule, pipe } = scenario;
  const passes = passesOf(scenario);
  const halfMm = (Math.PI * pipe.outside_diameter_mm) / 2;
  const lengthMm = halfMm + schedule.closure_overlap_mm / 2;
  let atS = schedule.first_pass_after_s;
  for (let n = 1; joints.count === 0 || n <= joints.count; n++) {
    const number = joints.first + n - 1 + 1000 * pair;
    const joint = `${joints.prefix}${String(number).padStart(joints.digits, '0')}`;
    for (const [layer, setPoint] of passes.entries()) {
      if (scenario.weld.length > 0 && !scenario.weld.includes(setPoint.name)) continue;
      const lateS = lateStartS(scenario, setPoint.name, n);
      atS += lateS;
      // Starts are staggered layer to layer: side A begins past 12 o'clock where B begins before it.
      const away = (layer % 2 === 0 ? 1 : -1) * (rig.side === 'A' ? 1 : -1);
      const startMm = away * schedule.stagger_mm;
      yield {
        joint,
        side: rig.side,
        setPoint,
        startsAtS: atS + rig.lag_s,
        startDegrees: (startMm / (Math.PI * pipe.outside_diameter_mm)) * 360,
        lengthMm,
        faults: faultsOf(scenario, rig, setPoint, n, startMm),
        lateS,
      };
      atS +=
        durationS(setPoint, lengthMm) + longestPauseS(scenario, setPoint.name, n) + schedule.pass_break_s;
    }
    atS += schedule.joint_break_s - schedule.pass_break_s;
  }
}

function durationS(setPoint: SetPoint, lengthMm: number): number {
  const { gasBeforeS, dwellS, craterS, gasAfterS } = SEQUENCE_TIMES;
  return gasBeforeS + dwellS + lengthMm / setPoint.travelMmS + craterS + gasAfterS + SLACK_S;
}

/** Stops on either side hold up the timetable of both. */
function longestPauseS(scenario: Scenario, pass: string, jointIndex: number): number {
  const stops = scenario.fault.filter(
    fault => fault.kind === 'stopRestart' && happensIn(fault, pass, jointIndex),
  );
  return stops.reduce((sum, stop) => sum + stop.size + 5, 0);
}

/** A crew that is late is late on both sides. */
function lateStartS(scenario: Scenario, pass: string, jointIndex: number): number {
  const late = scenario.fault.filter(
    fault => fault.kind === 'lateStart' && happensIn(fault, pass, jointIndex),
  );
  return Math.max(0, ...late.map(({ size }) => size));
}

function happensIn(fault: ScenarioFault, pass: string, jointIndex: number): boolean {
  if (fault.pass !== undefined && fault.pass !== pass) return false;
  if (fault.joint === undefined && fault.every === undefined) return true;
  const first = fault.joint ?? 1;
  if (fault.every === undefined) return jointIndex === first;
  return jointIndex >= first && (jointIndex - first) % fault.every === 0;
}

function faultsOf(
  scenario: Scenario,
  rig: ScenarioRig,
  setPoint: SetPoint,
  jointIndex: number,
  startMm: number,
): Fault[] {
  const circumferenceMm = Math.PI * scenario.pipe.outside_diameter_mm;
  return scenario.fault
    .filter(
      fault =>
        (fault.rig === undefined || fault.rig === rig.id) &&
        (fault.side === undefined || fault.side === rig.side) &&
        happensIn(fault, setPoint.name, jointIndex),
    )
    .map(fault => {
      const fromMm = placeMm(fault.from_mm, fault.from_clock, rig.side, circumferenceMm);
      const toMm = placeMm(fault.to_mm, fault.to_clock, rig.side, circumferenceMm);
      return {
        kind: fault.kind,
        size: fault.size,
        // From the ring to the pass's own start.
        fromMm: (fromMm ?? startMm) - startMm,
        toMm: toMm === null ? null : toMm - startMm,
        rampMm: fault.ramp_mm,
        otherPass: fault.other_pass ?? null,
        channel: fault.channel ?? null,
        overlapMm: fault.overlap_mm,
      };
    });
}

/** Run-out from 12 o'clock along a side; a clock position counts in the side's own direction. */
function placeMm(
  mm: number | undefined,
  clock: number | undefined,
  side: Side,
  circumferenceMm: number,
): number | null {
  if (mm !== undefined) return mm;
  if (clock === undefined) return null;
  const hours = side === 'B' ? clock % 12 : (12 - clock) % 12;
  return (hours / 12) * circumferenceMm;
}
