import { z } from 'zod';
import { sideSchema } from '#core/messages/common';
import { CHANNELS, type Channel } from '#core/sample/channels';
import { isCommensurable, isUnit } from '#core/units/ucum';

const unit = z.string().refine(isUnit, {
  error: issue => `unknown unit "${String(issue.input)}" (UCUM codes such as mm/s, m/min, [in_i]/min)`,
});
const column = z.union([z.int().nonnegative(), z.string().min(1)]);

/** A channel read from a column, or the same for every row. `scale` multiplies the cell before the unit applies. */
const source = z
  .strictObject({
    column: column.optional(),
    constant: z.number().optional(),
    unit,
    scale: z.number().optional(),
  })
  .superRefine((from, ctx) => {
    if ((from.column === undefined) === (from.constant === undefined)) {
      ctx.addIssue({ code: 'custom', path: [], message: 'give either a column or a constant' });
    }
    if (from.constant !== undefined && from.scale !== undefined) {
      ctx.addIssue({ code: 'custom', path: ['scale'], message: 'a constant takes no scale' });
    }
  });
export type ChannelSource = z.infer<typeof source>;

/** A standard relative uncertainty (k = 1), 0.01 = 1 %. */
const relative = z.number().positive().max(1).nullable().default(null);

/** MAP.json: which column of a delimited recording is what. Unknown keys are errors. */
export const columnMapSchema = z
  .strictObject({
    header: z.boolean().default(false),
    delimiter: z.string().length(1).default(','),
    time: z.strictObject({
      column,
      unit,
      scale: z.number().optional(),
      /** Record time where the column reads 0, µs: the engine then cuts time where it was cut live. */
      recordStartUs: z.int().nonnegative().optional(),
    }),
    /** How long the averaging interval of each row is, from its time on; where it is unknown a row holds until the next. */
    sampleLength: source.optional(),
    /** As the source announced it; else the median of the file. */
    samplePeriod: z.strictObject({ constant: z.number().positive(), unit }).optional(),
    weldingCurrent: source,
    arcVoltage: source,
    power: source.optional(),
    wireFeedSpeed: source.optional(),
    wireLength: source.optional(),
    travelSpeed: source.optional(),
    travelDistance: source.optional(),
    gasFlow: source.optional(),
    temperature: source.optional(),
    oscillationWidth: source.optional(),
    oscillationFrequency: source.optional(),
    program: source.optional(),
    status: source.optional(),
    /** Rows with the same label belong to the same pass. */
    pass: z.strictObject({ column }).optional(),
    heldAfterS: z.number().positive().nullable().optional(),
    /** Radius at which travel is reported, mm; the pipe's is the assignment's, else the procedure's. */
    referenceRadiusMm: z.number().positive().optional(),
    uncertainty: z
      .strictObject({ current: relative, voltage: relative, wireFeed: relative, travel: relative })
      .optional(),
    /** What it was welded as; with a `pass` column the rows that carry a label were. */
    assignment: z
      .strictObject({
        joint: z.string().min(1),
        side: sideSchema,
        pass: z.string().min(1),
        outsideDiameterMm: z.number().positive(),
        /** Degrees from 12 o'clock in the side's own direction of travel where the recording begins. */
        startDegrees: z.number().min(-360).max(720),
      })
      .optional(),
  })
  .superRefine((map, ctx) => {
    const complain = (key: string, message: string): void => {
      ctx.addIssue({ code: 'custom', path: [key], message });
    };
    if (isUnit(map.time.unit) && !isCommensurable(map.time.unit, 's'))
      complain('time', `${map.time.unit} is not a unit of time`);
    for (const key of ['sampleLength', 'samplePeriod'] as const) {
      const from = map[key];
      if (from && isUnit(from.unit) && !isCommensurable(from.unit, 's'))
        complain(key, `${from.unit} is not a unit of time`);
    }
    for (const [channel, from] of mappedChannels(map)) {
      const own = CHANNELS[channel].unit;
      if (isUnit(from.unit) && !isCommensurable(from.unit, own))
        complain(channel, `${from.unit} does not convert to ${own}`);
    }
    const byName = [
      map.time,
      map.sampleLength,
      map.pass,
      ...mappedChannels(map).map(([, from]) => from),
    ].some(from => typeof from?.column === 'string');
    if (byName && !map.header) complain('header', 'a column is given by name, so "header" must be true');
    if (map.travelSpeed && map.travelDistance)
      complain('travelDistance', 'give travelSpeed or travelDistance, not both');
    if (map.wireFeedSpeed && map.wireLength)
      complain('wireLength', 'give wireFeedSpeed or wireLength, not both');
  });
export type ColumnMap = z.infer<typeof columnMapSchema>;

/** The channels a map names, with where each comes from. */
export function mappedChannels(
  map: Partial<Record<Channel, ChannelSource | undefined>>,
): [Channel, ChannelSource][] {
  return (Object.keys(CHANNELS) as Channel[]).flatMap(channel => {
    const from = map[channel];
    return from ? [[channel, from] as [Channel, ChannelSource]] : [];
  });
}
