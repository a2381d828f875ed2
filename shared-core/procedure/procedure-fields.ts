/**
 * What a WPS says beside its limits; all of it optional, none of it judged from the sensors.
 * Fields: ISO 15609-1 and the mechanised section of API 1104. SI units in the names.
 */
import { z } from 'zod';

const words = (max: number) => z.string().trim().min(1).max(max);
const degrees = z.number().min(0).max(180);

/** Issues where `min` is not below `max`; a lone one is fine. */
function refuseCrossed<T extends Record<string, unknown>>(
  pairs: readonly (readonly [keyof T & string, keyof T & string])[],
) {
  return (value: T, ctx: z.RefinementCtx): void => {
    for (const [min, max] of pairs) {
      const [low, high] = [value[min], value[max]];
      if (typeof low === 'number' && typeof high === 'number' && low > high) {
        ctx.addIssue({ code: 'custom', path: [min], message: `${min} ${low} is above ${max} ${high}` });
      }
    }
  };
}

const baseMaterialShape = z.strictObject({
  grade: words(80).optional(),
  outsideDiameterMinMm: z.number().positive().max(5000).optional(),
  outsideDiameterMaxMm: z.number().positive().max(5000).optional(),
  wallThicknessMinMm: z.number().positive().max(200).optional(),
  wallThicknessMaxMm: z.number().positive().max(200).optional(),
  /** Carbon equivalents as the mill certificates give them; which formula, the user's code says. */
  carbonEquivalentMax: z.number().positive().max(2).optional(),
  pcmMax: z.number().positive().max(2).optional(),
});
export const baseMaterialSchema = baseMaterialShape.superRefine(
  refuseCrossed<z.infer<typeof baseMaterialShape>>([
    ['outsideDiameterMinMm', 'outsideDiameterMaxMm'],
    ['wallThicknessMinMm', 'wallThicknessMaxMm'],
  ]),
);

export const bevelSchema = z.strictObject({
  type: words(60).optional(),
  /** From the root face outwards, of one side. */
  anglesDegrees: z.array(degrees).max(6).optional(),
  rootFaceMm: z.number().nonnegative().max(50).optional(),
  /** How high the first of two angles reaches above the root face. */
  lowerHeightMm: z.number().nonnegative().max(100).optional(),
  gapMm: z.number().nonnegative().max(50).optional(),
  /** Largest offset (high–low) allowed at fit-up. */
  offsetMaxMm: z.number().nonnegative().max(50).optional(),
  backing: words(80).optional(),
  clamp: words(80).optional(),
});

/** Of the whole procedure. */
export const procedureFields = {
  /** Code or standard with its edition, as the user names it. */
  code: words(120).optional(),
  qualificationRecords: z.array(words(60)).max(40).optional(),
  /** Mainline, tie-in, repair …: the job's own word. */
  scope: words(60).optional(),
  baseMaterial: baseMaterialSchema.optional(),
  bevel: bevelSchema.optional(),
  /** What both sides overlap at 12 and 6 o’clock together, mm along the outside. */
  closureOverlapMm: z.number().nonnegative().max(1000).optional(),
  ndtRule: words(1000).optional(),
  repairRule: words(1000).optional(),
};

export const polaritySchema = z.enum(['electrodePositive', 'electrodeNegative']);

/** Of one pass. Limits on flow, oscillation, CTWD, temperatures and time between passes stand among its limits. */
export const passFields = {
  /** ISO 4063 process number. */
  process: z
    .string()
    .regex(/^\d{2,3}$/, 'an ISO 4063 process number such as 135')
    .optional(),
  transferMode: words(60).optional(),
  polarity: polaritySchema.optional(),
  /** Shielding gas by its ISO 14175 designation, such as M21. */
  gas: words(60).optional(),
  /** Downhill, uphill …: the job's own word. */
  direction: words(40).optional(),
  technique: z.enum(['stringer', 'weave']).optional(),
  torchAngleDegrees: z.number().min(-90).max(90).optional(),
};
