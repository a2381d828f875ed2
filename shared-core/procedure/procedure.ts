import { z } from 'zod';
import { topicIdSchema } from '../messages/common.ts';
import { LIMIT_UNITS, LIMITED_QUANTITIES, type LimitedQuantity } from './limit-units.ts';
import { passFields, procedureFields } from './procedure-fields.ts';

export { LIMIT_UNITS, LIMITED_QUANTITIES, type LimitedQuantity };

/** pass: average of a pass, the code's language · window: a length of weld · instant: 1 s sliding mean. */
export const limitBasisSchema = z.enum(['pass', 'window', 'instant']);
export type LimitBasis = z.infer<typeof limitBasisSchema>;

/** Clock positions, looking downstream, from `from` clockwise to `to`; 12 is the top. */
export const clockZoneSchema = z.strictObject({
  from: z.number().min(0).max(12),
  to: z.number().min(0).max(12),
});

const finite = z.number();

/**
 * One limit as the procedure file gives it. `unit` is a UCUM code; resolveLimit (limits.ts) turns it
 * into the stored unit. `authority` is the user's own text; `basis` other than `pass` is a project rule.
 */
export const limitSchema = z
  .strictObject({
    quantity: z.enum(LIMITED_QUANTITIES as [LimitedQuantity, ...LimitedQuantity[]]),
    unit: z.string().min(1).max(20),
    basis: limitBasisSchema,
    min: finite.optional(),
    nominal: finite.optional(),
    max: finite.optional(),
    tolerancePercent: finite.positive().max(100).optional(),
    exact: finite.optional(),
    clockZone: clockZoneSchema.optional(),
    authority: z.string().max(200).optional(),
  })
  .superRefine((limit, ctx) => {
    const { min, nominal, max, tolerancePercent, exact } = limit;
    const where = `limit on ${limit.quantity}`;
    if (min !== undefined && max !== undefined && min >= max) {
      ctx.addIssue({
        code: 'custom',
        path: ['min'],
        message: `${where}: min ${min} is not below max ${max}`,
      });
    }
    if (nominal !== undefined && min !== undefined && nominal < min) {
      ctx.addIssue({
        code: 'custom',
        path: ['nominal'],
        message: `${where}: nominal ${nominal} is below min ${min}`,
      });
    }
    if (nominal !== undefined && max !== undefined && nominal > max) {
      ctx.addIssue({
        code: 'custom',
        path: ['nominal'],
        message: `${where}: nominal ${nominal} is above max ${max}`,
      });
    }
    if (tolerancePercent !== undefined && nominal === undefined) {
      ctx.addIssue({
        code: 'custom',
        path: ['tolerancePercent'],
        message: `${where}: a tolerance needs a nominal`,
      });
    }
    if (tolerancePercent !== undefined && (min !== undefined || max !== undefined)) {
      ctx.addIssue({
        code: 'custom',
        path: ['tolerancePercent'],
        message: `${where}: give a tolerance or min/max, not both`,
      });
    }
    if (exact !== undefined && [min, nominal, max, tolerancePercent].some(value => value !== undefined)) {
      ctx.addIssue({ code: 'custom', path: ['exact'], message: `${where}: exact stands alone` });
    }
    if ([min, nominal, max, exact].every(value => value === undefined)) {
      ctx.addIssue({ code: 'custom', path: [], message: `${where}: give min, nominal, max or exact` });
    }
  });
export type Limit = z.infer<typeof limitSchema>;

export const procedurePassSchema = z.strictObject({
  name: z.string().trim().min(1).max(60),
  /** Data from the WPS, such as "root", "hot", "fill", "cap"; not an enum. */
  type: z.string().trim().min(1).max(40),
  /** The program number selected on the rig for this pass, where the rig reports one. */
  program: z.int().nonnegative().optional(),
  wire: z
    .strictObject({
      diameterMm: finite.positive().max(10),
      classification: z.string().max(60).optional(),
      /** Which lots may be used, in words. */
      lotRule: z.string().trim().min(1).max(200).optional(),
    })
    .optional(),
  ...passFields,
  limits: z.array(limitSchema).max(60),
});
export type ProcedurePass = z.infer<typeof procedurePassSchema>;

/** One WPS revision: `girthlog.procedure/1`, validated strictly. */
export const procedureSchema = z
  .strictObject({
    schema: z.literal('girthlog.procedure/1'),
    id: topicIdSchema,
    revision: z.int().positive(),
    title: z.string().trim().min(1).max(120),
    exampleOnly: z.boolean().optional(),
    pipe: z
      .strictObject({
        outsideDiameterMm: finite.positive().max(5000),
        wallThicknessMm: finite.positive().max(200),
      })
      .optional(),
    thermalEfficiency: finite.positive().max(1).optional(),
    waveformControlled: z.boolean().optional(),
    ...procedureFields,
    passes: z.array(procedurePassSchema).min(1).max(60),
  })
  .superRefine((procedure, ctx) => {
    const seen = new Set<string>();
    procedure.passes.forEach((pass, index) => {
      if (seen.has(pass.name)) {
        ctx.addIssue({
          code: 'custom',
          path: ['passes', index, 'name'],
          message: `pass "${pass.name}" stands twice`,
        });
      }
      seen.add(pass.name);
    });
  });
export type Procedure = z.infer<typeof procedureSchema>;
