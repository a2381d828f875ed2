/** Modbus TCP against the library's own server, which records whatever it is asked. */
import { readdirSync, readFileSync } from 'node:fs';
import type { AddressInfo } from 'node:net';
import { createServer } from 'node:net';
import { join } from 'node:path';
import { ServerTCP } from 'modbus-serial';
import { describe, expect, it, onTestFinished } from 'vitest';
import { concatChunks } from '#core/sample/chunk';
import { listen } from '../support/pty-listener.ts';
import { waitUntil } from '../support/wait-until.ts';

async function freePort(): Promise<number> {
  const probe = createServer();
  await new Promise<void>(resolve => probe.listen(0, '127.0.0.1', resolve));
  const { port } = probe.address() as AddressInfo;
  await new Promise(resolve => probe.close(resolve));
  return port;
}

const float = (value: number): [number, number] => {
  const view = new DataView(new ArrayBuffer(4));
  view.setFloat32(0, value);
  return [view.getUint16(0), view.getUint16(2)];
};

/** A rig's controller: input registers 10… and holding registers 100…, two coils, anything else an exception. */
async function controller(port: number): Promise<{ asked: string[]; stop: () => Promise<void> }> {
  const asked: string[] = [];
  const input: Record<number, number> = { 10: 2361, 11: 0x10000 - 5, 12: 0x0001, 13: 0x86a0 };
  const holding: Record<number, number> = { 100: float(7.5)[1], 101: float(7.5)[0], 102: 0xffff };
  const read = (kind: string, values: Record<number, number>) => (address: number) => {
    asked.push(`${kind} ${address}`);
    const value = values[address];
    // 2: illegal data address (MODBUS Application Protocol V1.1b3, section 7).
    return value === undefined ? Promise.reject({ modbusErrorCode: 2 }) : Promise.resolve(value);
  };
  const write = (kind: string) => () => {
    asked.push(`WRITE ${kind}`);
    return Promise.resolve();
  };
  const server = new ServerTCP(
    {
      getInputRegister: read('input', input),
      getHoldingRegister: read('holding', holding),
      getCoil: (address: number) => {
        asked.push(`coil ${address}`);
        return Promise.resolve(address === 3);
      },
      getDiscreteInput: () => Promise.resolve(true),
      setRegister: write('register'),
      setCoil: write('coil'),
      setRegisterArray: write('registers'),
    },
    { host: '127.0.0.1', port, unitID: 1 },
  );
  await new Promise<void>(resolve => server.on('initialized', () => resolve()));
  const stop = (): Promise<void> => new Promise(resolve => server.close(() => resolve()));
  onTestFinished(stop);
  return { asked, stop };
}

const registers = [
  { channel: 'weldingCurrent', function: 4, address: 10, unit: 'A', scale: 0.1 },
  { channel: 'arcVoltage', function: 4, address: 11, type: 'i16', unit: 'V', scale: 0.1 },
  { channel: 'travelDistance', function: 4, address: 12, type: 'u32', unit: 'mm', scale: 0.01 },
  { channel: 'travelSpeed', function: 3, address: 100, type: 'f32', word_order: 'lowFirst', unit: 'mm/s' },
  { channel: 'gasFlow', function: 3, address: 102, unit: 'L/min', scale: 0.1, unknown: 0xffff },
  { channel: 'status', function: 1, address: 3, type: 'bit', bit: 0 },
  { channel: 'status', function: 2, address: 8, type: 'bit', bit: 4 },
];

describe('a Modbus TCP source', () => {
  it('reads what is mapped, scaled and with its unknowns, and asks for nothing else', async () => {
    const port = await freePort();
    const { asked } = await controller(port);
    const listener = listen({
      url: `modbus-tcp://127.0.0.1:${port}?unit=1`,
      modbus: { period_s: 0.02, register: registers },
    });
    await waitUntil(() => listener.samples() >= 5, 'samples');
    await listener.source.stop();
    const { n, tUs, lengthUs, columns } = concatChunks(listener.chunks);
    expect(lengthUs).toBeNull();
    for (let i = 0; i < n; i++) {
      expect(columns.weldingCurrent![i]).toBe(236.1);
      expect(columns.arcVoltage![i]).toBe(-0.5);
      expect(columns.travelDistance![i]).toBe(1000);
      expect(columns.travelSpeed![i]).toBe(7.5);
      expect(columns.gasFlow![i]).toBe(Number.NaN);
      expect(columns.status![i]).toBe(17);
      if (i > 0) expect(tUs[i]!).toBeGreaterThan(tUs[i - 1]!);
    }
    expect(new Set(asked)).toEqual(
      new Set([
        'input 10',
        'input 11',
        'input 12',
        'input 13',
        'holding 100',
        'holding 101',
        'holding 102',
        'coil 3',
      ]),
    );
    expect(listener.announcements[0]).toMatchObject({ format: 'modbus', samplePeriodUs: 20_000 });
  });

  it('comes back by itself after the controller was off', async () => {
    const port = await freePort();
    const listener = listen({
      url: `modbus-tcp://127.0.0.1:${port}`,
      modbus: { period_s: 0.02, register: registers.slice(0, 2) },
    });
    await waitUntil(() => listener.state()?.problem === 'refused', 'the refusal');
    const first = await controller(port);
    await waitUntil(() => listener.samples() > 3, 'samples');
    await first.stop();
    await waitUntil(() => listener.state()?.state === 'absent', 'the loss');
    await controller(port);
    const before = listener.samples();
    await waitUntil(() => listener.samples() > before + 3, 'samples again');
  });

  it('says which address a device refuses', async () => {
    const port = await freePort();
    await controller(port);
    const listener = listen({
      url: `modbus-tcp://127.0.0.1:${port}`,
      modbus: { period_s: 0.02, register: [{ channel: 'weldingCurrent', address: 77, unit: 'A' }] },
    });
    await waitUntil(() => listener.state()?.state === 'stalled', 'the stall');
    expect(listener.state()!.detail).toContain('answers function 4 at address 77 with exception 2');
    expect(listener.source.counters()['modbusExceptions']).toBeGreaterThan(0);
    expect(listener.samples()).toBe(0);
  });
});

it('no code of the edge can write to a Modbus device or to a port', () => {
  const folder = join(import.meta.dirname, '../../edge/source');
  for (const name of readdirSync(folder)) {
    const text = readFileSync(join(folder, name), 'utf8');
    expect(text, name).not.toMatch(
      /\.write|writeFC|writeCoil|writeRegister|maskWrite|customFunction|writeCustom/,
    );
  }
});
