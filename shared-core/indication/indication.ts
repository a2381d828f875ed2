/** What an NDT scan reports of a joint, in the scan's own counting. An indication is NDT's word, never ours. */
import { z } from 'zod';

/** How a scan counts around the pipe. All of it is printed wherever a position of it is shown. */
export const scanFrameSchema = z.strictObject({
  /** Where the scan's zero lies, degrees clockwise from the top looking downstream. */
  zeroDegrees: z.number().min(0).lt(360),
  /** Which way it counts, looking downstream. */
  sense: z.enum(['clockwise', 'counterClockwise']),
  /** Diameter its millimetres are measured at; null: the outside of the pipe. */
  referenceDiameterMm: z.number().positive().max(6000).nullable(),
  /** Expanded (k = 2) uncertainty of where its zero was set on the pipe, mm along the outside. */
  zeroUncertaintyMm: z.number().nonnegative().max(200),
});
export type ScanFrame = z.infer<typeof scanFrameSchema>;

export const INDICATION_UNITS = ['mm', 'degrees', 'clock'] as const;

export const indicationSchema = z.strictObject({
  /** As the report numbers it. */
  label: z.string().trim().min(1).max(40),
  /** NDT's own word for its kind. */
  type: z.string().trim().min(1).max(80),
  /** Where it begins, counted as the frame says. */
  position: z.number().min(-20_000).max(20_000),
  unit: z.enum(INDICATION_UNITS),
  /** Along the weld at the reference diameter. */
  lengthMm: z.number().nonnegative().max(20_000),
  /** From the outside of the pipe to its top; null where the report does not say. */
  depthMm: z.number().nonnegative().max(200).nullable(),
  /** Through the wall, from its top; null where the report does not say. */
  heightMm: z.number().nonnegative().max(200).nullable(),
});
export type Indication = z.infer<typeof indicationSchema>;
