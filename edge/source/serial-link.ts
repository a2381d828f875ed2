/** A serial port through serialport, held exclusively. Nothing is ever written to it. */
import type { SerialPort } from 'serialport';
import { DeviceNode } from './device-node.ts';
import type { Link, LinkEvents } from './link.ts';
import { problem, problemOf } from './link-problem.ts';
import type { SerialLine } from './source-url.ts';

export class SerialLink implements Link {
  readonly name: string;
  readonly hasNode = true;
  private readonly line: SerialLine;
  private readonly node: DeviceNode;
  private port: SerialPort | null = null;
  private opening: Promise<void> = Promise.resolve();

  constructor(line: SerialLine) {
    this.line = line;
    this.name = line.path;
    this.node = new DeviceNode(line.path);
  }

  open(events: LinkEvents): void {
    let isDown = false;
    const down = (error: unknown): void => {
      if (isDown) return;
      isDown = true;
      events.onDown(error === null ? problem('gone', `${this.name} is gone`) : problemOf(error, this.name));
    };
    this.opening = this.openPort(events, down);
  }

  private async openPort(events: LinkEvents, down: (error: unknown) => void): Promise<void> {
    // Loaded only where a port is used: it is a native module.
    const { SerialPort } = await import('serialport');
    const { path, baud, parity, databits, stopbits } = this.line;
    const port = new SerialPort({
      path,
      baudRate: baud,
      parity,
      dataBits: databits,
      stopBits: stopbits,
      lock: true,
      // Leave the control lines alone at closing: some boards restart when they fall.
      hupcl: false,
      autoOpen: false,
    });
    this.port = port;
    port.on('data', (bytes: Uint8Array) => events.onBytes(bytes));
    port.on('error', down);
    port.on('close', () => down(null));
    await new Promise<void>(resolve => {
      port.open(error => {
        resolve();
        if (error) {
          down(error);
          return;
        }
        this.node.markOpened();
        events.onOpen();
      });
    });
  }

  async close(): Promise<void> {
    await this.opening.catch(() => undefined);
    const { port } = this;
    this.port = null;
    this.node.markClosed();
    if (port === null) return;
    if (port.isOpen) await new Promise<void>(resolve => port.close(() => resolve()));
    port.removeAllListeners();
    // A late error of a port that was let go must not end the program.
    port.on('error', () => undefined);
  }

  present(): boolean {
    return this.node.present();
  }
}
