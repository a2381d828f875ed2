/** Entries about a joint: what stands on its record beside what the rigs measured. SI units in the names. */
import { z } from 'zod';
import { labelSchema, sideSchema, topicIdSchema, utcSchema } from '../messages/common.ts';
import { DECISIONS } from './decisions.ts';

const joint = labelSchema;
const passName = z.string().trim().min(1).max(60);
const note = z.string().trim().max(500);
const lot = z.string().trim().min(1).max(60);
const personId = z.string().min(1).max(60);
const temperatureCel = z.number().min(-60).max(600);

/** One pipe of the joint: its number and the heat it was rolled from. */
const pipeSchema = z.strictObject({ number: lot, heat: lot.optional() });

const jointFields = {
  station: labelSchema.optional(),
  /** Mainline, tie-in, repair …: the job's own word. */
  scope: z.string().trim().min(1).max(40).optional(),
  upstreamPipe: pipeSchema.optional(),
  downstreamPipe: pipeSchema.optional(),
  outsideDiameterMm: z.number().positive().max(5000).optional(),
  wallThicknessMm: z.number().positive().max(200).optional(),
  procedureId: topicIdSchema.optional(),
  procedureRevision: z.int().positive().optional(),
  weather: note.optional(),
};

export const jointEntrySchemas = {
  /** A joint comes into being. Its number may not have been used, also not by one that was cut out. */
  jointOpened: z.strictObject({ kind: z.literal('jointOpened'), joint, ...jointFields }),
  /** Any of its particulars is set or set right. */
  jointChanged: z.strictObject({ kind: z.literal('jointChanged'), joint, ...jointFields }),
  consumables: z.strictObject({
    kind: z.literal('consumables'),
    joint,
    wireLot: lot.optional(),
    gasLot: lot.optional(),
  }),
  /** Preheat before a pass, or interpass between two: whose instrument, where on the joint, when. */
  temperatureReading: z.strictObject({
    kind: z.literal('temperatureReading'),
    joint,
    quantity: z.enum(['preheatTemperature', 'interpassTemperature']),
    /** The pass about to be welded. */
    pass: passName,
    valueCel: temperatureCel,
    /** 0 < clock ≤ 12, or null for "all around". */
    clock: z.number().positive().max(12).nullable(),
    instrument: lot.optional(),
    takenAt: utcSchema,
  }),
  polarityConfirmed: z.strictObject({
    kind: z.literal('polarityConfirmed'),
    joint,
    polarity: z.enum(['electrodePositive', 'electrodeNegative']),
  }),
  crew: z.strictObject({
    kind: z.literal('crew'),
    joint,
    weldSetter: personId.nullable(),
    operatorA: personId.nullable(),
    operatorB: personId.nullable(),
  }),
  /** Visual examination of a finished layer: released for the next one, or not. */
  layerRelease: z.strictObject({
    kind: z.literal('layerRelease'),
    joint,
    pass: passName,
    released: z.boolean(),
    note: note.optional(),
  }),
  hold: z.strictObject({ kind: z.literal('hold'), joint, on: z.boolean() }),
  /** A pass this system did not see: manual or internal root, tie-in, hand repair. */
  loggedElsewhere: z.strictObject({
    kind: z.literal('loggedElsewhere'),
    joint,
    side: sideSchema.nullable(),
    pass: passName,
    weldedBy: labelSchema,
    how: z.string().trim().min(1).max(200),
    weldedAt: utcSchema,
    readings: z
      .strictObject({
        weldingCurrentA: z.number().positive().max(2000).optional(),
        arcVoltageV: z.number().positive().max(200).optional(),
        travelSpeedMmS: z.number().positive().max(1000).optional(),
        arcEnergyKjMm: z.number().positive().max(20).optional(),
      })
      .optional(),
  }),
  /** A recorded pass belongs to other work than it was recorded under, or to some where none was assigned. */
  passMoved: z.strictObject({
    kind: z.literal('passMoved'),
    passId: z.string().min(1).max(60),
    joint,
    side: sideSchema,
    pass: passName,
    procedureId: topicIdSchema,
    procedureRevision: z.int().positive(),
  }),
  /** What becomes of the joint, by a named person who has proved to be that person. The latest that stands counts. */
  disposition: z.strictObject({ kind: z.literal('disposition'), joint, decision: z.enum(DECISIONS) }),
} as const;
