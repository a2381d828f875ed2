import { z } from 'zod';
import { STREAM_PACES_MS } from './stream-paces.ts';

/** Every second to every screen, and at once when its pace changes. */
export const streamPaceSchema = z.strictObject({
  /** One of the paces; above the first the screen is thinned, and says so. */
  everyMs: z.int().positive(),
  /** When this was sent, by a clock of the server that only goes forward, ms: what comes late shows by it. */
  sentMs: z.int().nonnegative(),
});
export type StreamPace = z.infer<typeof streamPaceSchema>;

/** GET /api/v1/stream?every_ms= : how often this screen asks to be given live values. */
export const streamQuerySchema = z.strictObject({
  every_ms: z.coerce.number().pipe(z.int().min(STREAM_PACES_MS[0]).max(60_000)).default(STREAM_PACES_MS[0]),
});
