import { z } from 'zod';
import { sideSchema } from '#core/messages/common';

/** What the demo needs of the simulator's `--json` lines; lines of other events are passed over. */
const base = { rig: z.string(), side: sideSchema };
export const simulatorEventSchema = z.discriminatedUnion('event', [
  z.object({
    event: z.literal('listening'),
    ...base,
    url: z.string(),
    format: z.string(),
    referenceRadiusMm: z.number(),
    voltageTap: z.enum(['tip', 'source']),
  }),
  z.object({
    event: z.literal('passAhead'),
    ...base,
    joint: z.string(),
    pass: z.string(),
    outsideDiameterMm: z.number(),
    startDegrees: z.number(),
  }),
]);
export type SimulatorEvent = z.infer<typeof simulatorEventSchema>;
export type Listening = Extract<SimulatorEvent, { event: 'listening' }>;
export type PassAhead = Extract<SimulatorEvent, { event: 'passAhead' }>;

/** The event of one line of output, or null. */
export function simulatorEventOf(line: string): SimulatorEvent | null {
  try {
    const parsed = simulatorEventSchema.safeParse(JSON.parse(line));
    return parsed.success ? parsed.data : null;
  } catch {
    return null;
  }
}
