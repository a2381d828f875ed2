import { z } from 'zod';
import { sideSchema, topicIdSchema } from '#core/messages/common';
import { CHANNEL_NAMES, type Channel } from '#core/sample/channels';
import { FAULT_KINDS, type FaultKind } from '../faults/fault.ts';
import { EXAMPLE_PASSES } from './example-passes.ts';

const positive = z.number().positive();
const notNegative = z.number().nonnegative();

const rigSchema = z.strictObject({
  id: topicIdSchema,
  side: sideSchema,
  voltage_tap: z.enum(['tip', 'source']).default('tip'),
  feed_sensor: z.enum(['motor', 'wire']).default('motor'),
  /** This side starts so much later than the schedule, s. */
  lag_s: notNegative.max(600).default(0),
});

const passSchema = z.strictObject({
  name: z.string().trim().min(1).max(60),
  type: z.string().trim().min(1).max(40),
  program: z.int().nonnegative().max(255),
  wire_diameter_mm: positive.min(0.6).max(2.4).default(1),
  wire_feed_m_per_min: positive.min(1).max(25),
  voltage_v: positive.min(14).max(45),
  travel_mm_per_s: positive.min(0.5).max(60),
  ctwd_mm: positive.min(6).max(30).default(12),
  oscillation_width_mm: notNegative.max(12).default(0),
  oscillation_per_min: notNegative.max(400).default(0),
  transfer: z.enum(['dip', 'spray', 'pulsed']).default('spray'),
  gas_l_per_min: positive.max(60).default(22),
});

const faultSchema = z
  .strictObject({
    kind: z.enum(FAULT_KINDS as [FaultKind, ...FaultKind[]]),
    /** In the unit of its kind (docs/simulator.md). */
    size: z.number().min(-100).max(1000).default(1),
    /** Only on this rig; without it on every rig of the side. */
    rig: topicIdSchema.optional(),
    side: sideSchema.optional(),
    /** Without it: every pass. */
    pass: z.string().optional(),
    /** Counted from 1 in each run; without it every joint, or every `every`-th beginning with `joint`. */
    joint: z.int().positive().optional(),
    every: z.int().positive().optional(),
    /** Where: run-out from 12 o'clock along the side, mm, or the clock position on the ring. */
    from_mm: z.number().min(-100).max(20_000).optional(),
    to_mm: z.number().min(-100).max(20_000).optional(),
    from_clock: z.number().min(0).max(12).optional(),
    to_clock: z.number().min(0).max(12).optional(),
    ramp_mm: notNegative.max(20_000).default(0),
    /** wrongPass: the pass whose program runs instead. */
    other_pass: z.string().optional(),
    /** sensorDrift: the channel that drifts. */
    channel: z.enum(CHANNEL_NAMES as [Channel, ...Channel[]]).optional(),
    /** stopRestart: the carriage goes back so far before the restart; negative: it leaves so much unwelded. */
    overlap_mm: z.number().min(-100).max(100).default(0),
  })
  .superRefine((fault, ctx) => {
    const say = (message: string) => ctx.addIssue({ code: 'custom', message: `${fault.kind}: ${message}` });
    if (fault.kind === 'wrongPass' && fault.other_pass === undefined) say('needs other_pass');
    if (fault.kind === 'sensorDrift' && fault.channel === undefined) say('needs channel');
    if (fault.from_mm !== undefined && fault.from_clock !== undefined) {
      say('give from_mm or from_clock, not both');
    }
    if (fault.to_mm !== undefined && fault.to_clock !== undefined) say('give to_mm or to_clock, not both');
    if ((fault.kind === 'stopRestart' || fault.kind === 'lateStart') && fault.size < 0) {
      say('size is a time in s and cannot be negative');
    }
  });

/** A scenario file: what the simulated rigs weld, and what goes wrong. TOML, validated strictly. */
export const scenarioSchema = z
  .strictObject({
    schema: z.literal('girthlog.scenario/1'),
    title: z.string().max(120).default(''),
    joints: z
      .strictObject({
        prefix: z.string().max(40).default('J-'),
        first: z.int().nonnegative().max(999_999).default(101),
        digits: z.int().min(1).max(8).default(4),
        /** 0: without end. */
        count: z.int().nonnegative().default(0),
      })
      .prefault({}),
    pipe: z
      .strictObject({
        outside_diameter_mm: positive.min(50).max(5000).default(610),
        wall_thickness_mm: positive.min(1).max(100).default(15.9),
        /** The band runs so far outside the pipe's surface. */
        band_offset_mm: notNegative.max(300).default(20),
        /** Radius the encoder is scaled for; without it the band's own. */
        reference_radius_mm: positive.max(5000).optional(),
        preheat_celsius: z.number().min(-40).max(400).default(110),
        air_celsius: z.number().min(-60).max(60).default(15),
      })
      .prefault({}),
    schedule: z
      .strictObject({
        first_pass_after_s: notNegative.max(3600).default(6),
        announce_ahead_s: notNegative.max(600).default(4),
        pass_break_s: positive.max(86_400).default(10),
        joint_break_s: positive.max(86_400).default(15),
        /** Starts alternate so far to either side of 12 o'clock from layer to layer. */
        stagger_mm: notNegative.max(300).default(15),
        closure_overlap_mm: notNegative.max(300).default(10),
      })
      .prefault({}),
    rig: z.array(rigSchema).min(1).max(64),
    /** Without any: the example passes. */
    pass: z.array(passSchema).max(60).default([]),
    /** Names of the passes that are welded, in their order; without any: all. */
    weld: z.array(z.string()).max(60).default([]),
    fault: z.array(faultSchema).max(200).default([]),
  })
  .superRefine((scenario, ctx) => {
    const twice = (values: readonly string[]) => values.find((value, i) => values.indexOf(value) !== i);
    const rig = twice(scenario.rig.map(({ id }) => id));
    if (rig !== undefined)
      ctx.addIssue({ code: 'custom', path: ['rig'], message: `rig "${rig}" stands twice` });
    const pass = twice(scenario.pass.map(({ name }) => name));
    if (pass !== undefined) {
      ctx.addIssue({ code: 'custom', path: ['pass'], message: `pass "${pass}" stands twice` });
    }
    const passes = (scenario.pass.length > 0 ? scenario.pass : EXAMPLE_PASSES).map(({ name }) => name);
    for (const [i, name] of scenario.weld.entries()) {
      if (passes.includes(name)) continue;
      const message = `there is no pass "${name}": ${passes.join(', ')}`;
      ctx.addIssue({ code: 'custom', path: ['weld', i], message });
    }
    for (const [i, fault] of scenario.fault.entries()) {
      for (const [key, name] of [
        ['pass', fault.pass],
        ['other_pass', fault.other_pass],
      ] as const) {
        if (name === undefined || passes.includes(name)) continue;
        const message = `there is no pass "${name}": ${passes.join(', ')}`;
        ctx.addIssue({ code: 'custom', path: ['fault', i, key], message });
      }
    }
  });
export type Scenario = z.infer<typeof scenarioSchema>;
export type ScenarioInput = z.input<typeof scenarioSchema>;
export type ScenarioRig = Scenario['rig'][number];
export type ScenarioFault = Scenario['fault'][number];
