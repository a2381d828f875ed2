/**
 * A Modbus device through modbus-serial, behind a wall with one door: read(). Codes that write (5, 6, 15, 16, 22,
 * 23) have no way through; the client itself is not handed out.
 */

import { connect, type Socket } from 'node:net';
import type ModbusRTU from 'modbus-serial';
import { DeviceNode } from './device-node.ts';
import type { Link, LinkEvents } from './link.ts';
import { problem, problemOf } from './link-problem.ts';
import type { ReadFunction } from './modbus-map.ts';
import type { SourceUrl } from './source-url.ts';

type ModbusUrl = Extract<SourceUrl, { kind: 'modbus-rtu' | 'modbus-tcp' }>;

export class ModbusLink implements Link {
  readonly name: string;
  readonly hasNode: boolean;
  private readonly node: DeviceNode;
  private readonly url: ModbusUrl;
  private readonly timeoutMs: number;
  private client: ModbusRTU | null = null;
  private socket: Socket | null = null;
  private opening: Promise<void> = Promise.resolve();

  constructor(url: ModbusUrl, timeoutMs: number) {
    this.url = url;
    this.timeoutMs = timeoutMs;
    this.hasNode = url.kind === 'modbus-rtu';
    this.node = new DeviceNode(url.kind === 'modbus-rtu' ? url.path : '');
    this.name = url.kind === 'modbus-rtu' ? url.path : `${url.host}:${url.port}`;
  }

  open(events: LinkEvents): void {
    let isDown = false;
    const down = (error: unknown): void => {
      if (isDown) return;
      isDown = true;
      events.onDown(error === null ? problem('gone', `${this.name} is gone`) : problemOf(error, this.name));
    };
    this.opening = this.openClient(down).then(
      () => {
        if (isDown) return;
        this.node.markOpened();
        events.onOpen();
      },
      (error: unknown) => down(error),
    );
  }

  private async openClient(down: (error: unknown) => void): Promise<void> {
    const { url } = this;
    const { default: Client } = await import('modbus-serial');
    const client = new Client();
    this.client = client;
    // modbus-serial hands on the errors of its port; without a listener one would end the program.
    client.on('error', down);
    if (url.kind === 'modbus-rtu') {
      await client.connectRTUBuffered(url.path, {
        baudRate: url.baud,
        parity: url.parity,
        dataBits: url.databits,
        stopBits: url.stopbits,
      });
    } else await client.linkTCP(await this.connect(url.host, url.port, down), { port: url.port });
    client.on('close', () => down(null));
    client.setID(url.unit);
    client.setTimeout(this.timeoutMs);
  }

  /** A socket of our own, so that connecting and closing have an end that modbus-serial does not promise. */
  private async connect(host: string, port: number, down: (error: unknown) => void): Promise<Socket> {
    const socket = connect({ host, port });
    this.socket = socket;
    await new Promise<void>((resolve, reject) => {
      socket.once('connect', resolve);
      socket.once('error', reject);
      socket.once('close', () => reject(new Error('the connection was closed')));
    });
    socket.on('error', down);
    socket.once('close', () => down(null));
    return socket;
  }

  /**
   * `count` registers (0–65535) or bits (0 or 1) from `address`. Rejects where the device does not answer in time,
   * answers with an exception (`modbusCode`), or the link is down.
   */
  async read(code: ReadFunction, address: number, count: number): Promise<readonly number[]> {
    const { client } = this;
    if (client === null) throw new Error('the link is not open');
    switch (code) {
      case 1:
        return bits((await client.readCoils(address, count)).data, count);
      case 2:
        return bits((await client.readDiscreteInputs(address, count)).data, count);
      case 3:
        return (await client.readHoldingRegisters(address, count)).data;
      case 4:
        return (await client.readInputRegisters(address, count)).data;
    }
  }

  async close(): Promise<void> {
    const { client, socket } = this;
    this.client = null;
    this.socket = null;
    this.node.markClosed();
    socket?.destroy();
    await this.opening;
    if (this.url.kind === 'modbus-rtu' && client?.isOpen) {
      await new Promise<void>(resolve => client.close(() => resolve()));
    }
  }

  present(): boolean {
    return this.node.present();
  }
}

function bits(data: readonly boolean[], count: number): number[] {
  return data.slice(0, count).map(Number);
}
