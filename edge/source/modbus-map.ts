/** Which Modbus registers are what: the `[source.modbus]` table. Only reading exists. */
import { z } from 'zod';
import { CHANNEL_NAMES, CHANNELS, type Channel } from '#core/sample/channels';
import { isCommensurable } from '#core/units/ucum';

/**
 * MODBUS Application Protocol V1.1b3: 1 Read Coils, 2 Read Discrete Inputs, 3 Read Holding Registers,
 * 4 Read Input Registers. There is no value here for a code that writes.
 */
export const READ_FUNCTIONS = [1, 2, 3, 4] as const;
export type ReadFunction = (typeof READ_FUNCTIONS)[number];

export const REGISTER_TYPES = ['u16', 'i16', 'u32', 'i32', 'f32', 'bit'] as const;
export type RegisterType = (typeof REGISTER_TYPES)[number];

const registerSchema = z
  .strictObject({
    channel: z.enum(CHANNEL_NAMES as [Channel, ...Channel[]]),
    function: z.literal(READ_FUNCTIONS).default(4),
    /** Protocol address, from 0; a manual that counts "30001" or "40001" means address 0. */
    address: z.int().min(0).max(65_535),
    type: z.enum(REGISTER_TYPES).default('u16'),
    /** Order of the two registers of a 32-bit value. */
    word_order: z.enum(['highFirst', 'lowFirst']).default('highFirst'),
    unit: z.string().max(40).default(''),
    scale: z
      .number()
      .refine(value => value !== 0, 'a scale of 0 makes every value 0')
      .default(1),
    /** The raw value that stands for "unknown". */
    unknown: z.number().optional(),
    /** Bit of the status word that a coil or input sets. */
    bit: z.int().min(0).max(30).default(0),
  })
  .superRefine((register, ctx) => {
    const own = CHANNELS[register.channel].unit;
    const complain = (key: string, message: string): void => {
      ctx.addIssue({ code: 'custom', path: [key], message });
    };
    const isBit = register.type === 'bit';
    if (isBit !== register.function <= 2) {
      complain('type', 'functions 1 and 2 read type "bit", functions 3 and 4 the others');
    }
    if (isBit && register.channel !== 'status' && register.channel !== 'program') {
      complain('channel', 'a bit can be part of "status" or "program" only');
    }
    if (register.unit === '' ? own !== '1' : !isCommensurable(register.unit, own)) {
      complain('unit', `give a UCUM unit that ${register.channel} (${own}) can be given in`);
    }
    if (register.address === 65_535 && /32$/.test(register.type)) {
      complain('address', 'a 32-bit value needs two registers');
    }
  });
export type ModbusRegister = z.infer<typeof registerSchema>;

export const modbusMapSchema = z
  .strictObject({
    /** From one poll to the next, s. */
    period_s: z.number().min(0.01).max(60).default(0.1),
    /** Wait for an answer, s. */
    timeout_s: z.number().min(0.05).max(10).default(1),
    register: z.array(registerSchema).min(1).max(100),
  })
  .superRefine((map, ctx) => {
    const seen = new Set<string>();
    map.register.forEach(({ channel, type, bit }, i) => {
      const key = type === 'bit' ? `${channel} bit ${bit}` : channel;
      if (seen.has(key) || (type === 'bit' && seen.has(channel))) {
        ctx.addIssue({ code: 'custom', path: ['register', i, 'channel'], message: `${key} stands twice` });
      }
      seen.add(key);
    });
  });
export type ModbusMap = z.infer<typeof modbusMapSchema>;
