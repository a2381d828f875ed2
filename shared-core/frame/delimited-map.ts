/**
 * Which column of a delimited line is what: the same keys as the map of `girthlog-edge replay`.
 */
import { z } from 'zod';
import { CHANNEL_NAMES, CHANNELS, type Channel } from '../sample/channels.ts';
import { isCommensurable } from '../units/ucum.ts';

/** A column by 0-based index or header name. */
export const columnSchema = z.union([z.int().nonnegative().max(999), z.string().trim().min(1).max(80)]);
export type ColumnKey = z.infer<typeof columnSchema>;

const scaleSchema = z.number().refine(value => value !== 0, 'a scale of 0 makes every value 0');

function channelSchema(channel: Channel) {
  const unit = z
    .string()
    .max(40)
    .refine(
      code => isCommensurable(code, CHANNELS[channel].unit),
      `not a UCUM unit that ${channel} (${CHANNELS[channel].unit}) can be given in`,
    );
  return z.union([
    z.strictObject({ column: columnSchema, unit, scale: scaleSchema.optional() }),
    z.strictObject({ constant: z.number(), unit }),
  ]);
}

const channelShape = Object.fromEntries(
  CHANNEL_NAMES.map(channel => [channel, channelSchema(channel).optional()]),
) as Record<Channel, z.ZodOptional<ReturnType<typeof channelSchema>>>;

const timeUnitSchema = z
  .string()
  .max(40)
  .refine(code => isCommensurable(code, 's'), 'not a UCUM unit of time');

/**
 * The `[source.delimited]` table. Without `time` each line is stamped when it arrives, or every `period_s`
 * where that is given. `columns` is how many cells a line has; without it the lines themselves tell.
 */
export const delimitedMapSchema = z
  .strictObject({
    header: z.boolean().default(false),
    delimiter: z.string().length(1).default(','),
    columns: z.int().positive().max(1000).optional(),
    period_s: z.number().positive().max(60).optional(),
    time: z
      .strictObject({ column: columnSchema, unit: timeUnitSchema, scale: scaleSchema.optional() })
      .optional(),
    ...channelShape,
  })
  .superRefine((map, ctx) => {
    const mapped = CHANNEL_NAMES.filter(channel => map[channel] !== undefined);
    if (mapped.every(channel => 'constant' in map[channel]!)) {
      ctx.addIssue({ code: 'custom', path: [], message: 'no column is mapped to a channel' });
    }
    const keys = [map.time, ...mapped.map(channel => map[channel])];
    if (!map.header && keys.some(key => key !== undefined && 'column' in key && isName(key.column))) {
      ctx.addIssue({ code: 'custom', path: ['header'], message: 'columns by name need header = true' });
    }
    if (map.delimiter === '\n' || map.delimiter === '\r' || /[0-9.+-]/.test(map.delimiter)) {
      ctx.addIssue({ code: 'custom', path: ['delimiter'], message: 'cannot stand between numbers' });
    }
  });
export type DelimitedMap = z.infer<typeof delimitedMapSchema>;
export type DelimitedMapInput = z.input<typeof delimitedMapSchema>;

const isName = (column: ColumnKey): column is string => typeof column === 'string';
