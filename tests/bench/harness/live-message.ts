import { type Live, liveSchema } from '#core/messages/live';

/** What a rig with a burning arc says ten times a second. */
export function liveMessage(tUs: number): Live {
  const at = new Date().toISOString();
  return liveSchema.parse({
    origin: 'simulated',
    at,
    tUs,
    source: { state: 'streaming', since: at, detail: null },
    clock: { state: 'synced', offsetMs: null },
    buffer: { waiting: 0, storedTo: at, recording: 'ok' },
    arc: 'on',
    assignment: null,
    values: {
      weldingCurrent: 236,
      arcVoltage: 24,
      wireFeedSpeed: 171,
      travelSpeed: 7.5,
      power: null,
      gasFlow: 24,
      temperature: 140,
      oscillationWidth: null,
      oscillationFrequency: null,
      program: 4,
    },
    position: { circumferentialMm: 300, clock: 2, alongMm: 300, uncertaintyMm: 9 },
    pass: null,
    outOfRange: [],
  });
}
