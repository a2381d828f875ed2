/** From a register map to requests, and from their answers to one sample. Pure. */

import type { SourceAnnouncement } from '#core/frame/frame-decoder';
import { resolutionOf, scaled, scalingOf, type ValueScaling } from '#core/frame/value-scaling';
import { CHANNEL_NAMES, CHANNELS, type Channel } from '#core/sample/channels';
import type { ModbusMap, ModbusRegister, ReadFunction } from './modbus-map.ts';

export interface ModbusRequest {
  readonly code: ReadFunction;
  readonly address: number;
  readonly count: number;
}

/** MODBUS Application Protocol V1.1b3: at most 125 registers, 2000 bits a request. */
const MOST_REGISTERS = 125;
const MOST_BITS = 2000;

/** Adjoining addresses are read together; nothing that is not mapped is read. */
export function modbusRequests(map: ModbusMap): ModbusRequest[] {
  const wanted = map.register
    .map(register => ({ code: register.function, address: register.address, count: sizeOf(register) }))
    .sort((a, b) => a.code - b.code || a.address - b.address);
  const requests: { code: ReadFunction; address: number; count: number }[] = [];
  for (const next of wanted) {
    const last = requests.at(-1);
    const end = next.address + next.count;
    const most = next.code <= 2 ? MOST_BITS : MOST_REGISTERS;
    const joins = last?.code === next.code && next.address <= last.address + last.count;
    if (last && joins && end - last.address <= most) last.count = Math.max(last.count, end - last.address);
    else requests.push(next);
  }
  return requests;
}

function sizeOf({ type }: ModbusRegister): number {
  return type.endsWith('32') ? 2 : 1;
}

export interface ModbusCounts {
  impossibleSamples: number;
  impossibleValues: number;
}

export class ModbusReading {
  readonly channels: readonly Channel[];
  private readonly map: ModbusMap;
  private readonly scalings: ReadonlyMap<Channel, ValueScaling>;

  constructor(map: ModbusMap) {
    this.map = map;
    this.channels = CHANNEL_NAMES.filter(name => map.register.some(({ channel }) => channel === name));
    this.scalings = new Map(
      map.register.map(({ channel, unit, scale, type }) => [
        channel,
        scalingOf(channel, unit === '' ? CHANNELS[channel].unit : unit, type === 'bit' ? 1 : scale),
      ]),
    );
  }

  announcement(): SourceAnnouncement {
    return {
      format: 'modbus',
      boot: null,
      samplePeriodUs: Math.round(this.map.period_s * 1e6),
      simulated: null,
      channels: this.channels.map(channel => ({
        channel,
        unit: CHANNELS[channel].unit,
        resolution: resolutionOf(this.scalings.get(channel)!),
      })),
    };
  }

  /**
   * One value a channel, NaN where unknown; null where current or voltage is impossible.
   * `answers` as read for modbusRequests(map), in that order.
   */
  values(
    requests: readonly ModbusRequest[],
    answers: readonly (readonly number[])[],
    counts: ModbusCounts,
  ): ReadonlyMap<Channel, number> | null {
    const values = new Map<Channel, number>();
    for (const register of this.map.register) {
      const { channel, type, bit } = register;
      const raw = rawOf(register, requests, answers);
      if (type === 'bit') {
        // Bits of one word; 31 of them stay exact in a signed 32-bit integer.
        values.set(channel, (values.get(channel) ?? 0) | (raw << bit));
        continue;
      }
      const scaling = this.scalings.get(channel)!;
      const value = raw === register.unknown ? Number.NaN : scaled(scaling, raw);
      const possible = value >= scaling.min && value <= scaling.max;
      if (!possible && !Number.isNaN(value)) {
        if (scaling.rejectsSample) {
          counts.impossibleSamples++;
          return null;
        }
        counts.impossibleValues++;
      }
      values.set(channel, possible ? value : Number.NaN);
    }
    return values;
  }
}

function rawOf(
  register: ModbusRegister,
  requests: readonly ModbusRequest[],
  answers: readonly (readonly number[])[],
): number {
  const i = requests.findIndex(
    ({ code, address, count }) =>
      code === register.function &&
      register.address >= address &&
      register.address + sizeOf(register) <= address + count,
  );
  const at = register.address - requests[i]!.address;
  const first = answers[i]?.[at] ?? Number.NaN;
  if (sizeOf(register) === 1) return register.type === 'i16' ? (first << 16) >> 16 : first;
  const second = answers[i]?.[at + 1] ?? Number.NaN;
  const [high, low] = register.word_order === 'highFirst' ? [first, second] : [second, first];
  const view = new DataView(new ArrayBuffer(4));
  view.setUint16(0, high);
  view.setUint16(2, low);
  if (register.type === 'f32') return view.getFloat32(0);
  return register.type === 'i32' ? view.getInt32(0) : view.getUint32(0);
}
