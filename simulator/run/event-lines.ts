import type { ProgramEvent } from '../rig/rig-program.ts';
import type { RigSettings } from '../rig/rig-settings.ts';

/** One event as a JSON object for `--json`: what a program that prepares assignments needs to know. */
export function eventObject(settings: RigSettings, event: ProgramEvent): Record<string, unknown> {
  const base = { event: event.event, rig: settings.id, atS: round(event.atS, 3) };
  if (event.event === 'programEnded') return base;
  const { pass } = event;
  const work = {
    joint: pass.joint,
    side: pass.side,
    pass: pass.setPoint.name,
    program: pass.setPoint.program,
    outsideDiameterMm: settings.outsideDiameterMm,
    startDegrees: round(pass.startDegrees, 2),
  };
  if (event.event === 'passAhead') return { ...base, ...work, startsAtS: round(pass.startsAtS, 3) };
  const { truth } = event;
  return {
    ...base,
    ...work,
    truth: {
      arcTimeS: round(truth.arcTimeS, 3),
      lengthMm: round(truth.lengthMm, 2),
      energyKj: round(truth.energyKj, 3),
      wireMm: round(truth.wireMm, 1),
    },
  };
}

/** The same as a sentence for a person. */
export function eventSentence(settings: RigSettings, event: ProgramEvent): string {
  if (event.event === 'programEnded') return `${settings.id}: all joints of the scenario are welded`;
  const { pass } = event;
  const what = `${settings.id}: ${pass.joint} side ${pass.side} ${pass.setPoint.name}`;
  if (event.event === 'passAhead') return `${what} is next`;
  const { truth } = event;
  return `${what} done, ${truth.arcTimeS.toFixed(1)} s of arc, ${truth.lengthMm.toFixed(0)} mm, ${truth.energyKj.toFixed(0)} kJ (true values)`;
}

function round(value: number, decimals: number): number {
  return Number(value.toFixed(decimals));
}
