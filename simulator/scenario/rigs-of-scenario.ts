import { RigProgram } from '../rig/rig-program.ts';
import { LEAD_OHM, type RigSettings } from '../rig/rig-settings.ts';
import { plannedPasses } from './joint-plan.ts';
import type { Scenario, ScenarioRig } from './scenario.ts';
import { passesOf } from './scenario-passes.ts';

/** One rig of a run, ready to give frames. */
export interface ScenarioRun {
  readonly settings: RigSettings;
  readonly program: RigProgram;
}

/**
 * The scenario's rigs; more than it names are added as further crews of two (rig-c, rig-d, …) that weld
 * joints of their own.
 */
export function rigsOfScenario(
  scenario: Scenario,
  seed: number,
  rigCount: number | null,
  frameMs: number,
): ScenarioRun[] {
  const count = rigCount ?? scenario.rig.length;
  const setPoints = passesOf(scenario);
  const crew = scenario.rig.length;
  return Array.from({ length: count }, (_, index) => {
    const pattern = scenario.rig[index % crew]!;
    const rig: ScenarioRig = index < crew ? pattern : { ...pattern, id: extraRigId(scenario, index) };
    const settings = settingsOf(scenario, rig);
    const program = new RigProgram({
      settings,
      seed,
      setPoints,
      passes: plannedPasses(scenario, rig, Math.floor(index / crew)),
      announceAheadS: scenario.schedule.announce_ahead_s,
      frameMs,
    });
    return { settings, program };
  });
}

function extraRigId(scenario: Scenario, index: number): string {
  const letter = index < 26 ? String.fromCharCode(97 + index) : String(index + 1);
  const id = `rig-${letter}`;
  return scenario.rig.some(rig => rig.id === id) ? `${id}-${index + 1}` : id;
}

function settingsOf(scenario: Scenario, rig: ScenarioRig): RigSettings {
  const { pipe } = scenario;
  const bandRadiusMm = pipe.outside_diameter_mm / 2 + pipe.band_offset_mm;
  return {
    id: rig.id,
    side: rig.side,
    outsideDiameterMm: pipe.outside_diameter_mm,
    wallThicknessMm: pipe.wall_thickness_mm,
    bandRadiusMm,
    referenceRadiusMm: pipe.reference_radius_mm ?? bandRadiusMm,
    voltageTap: rig.voltage_tap,
    feedSensor: rig.feed_sensor,
    leadOhm: LEAD_OHM,
    preheatCel: pipe.preheat_celsius,
    airCel: pipe.air_celsius,
  };
}
