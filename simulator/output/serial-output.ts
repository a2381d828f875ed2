import { SerialPort } from 'serialport';
import { type ByteOutput, OutputError } from './byte-output.ts';

/** As much as a device's own transmit buffer might hold. */
const MAX_BEHIND_BYTES = 16 * 1024;

/** A serial port (or one end of a pty pair): bytes that the line cannot carry in time are lost. */
export class SerialOutput implements ByteOutput {
  readonly url: string;
  lostBytes = 0;
  private readonly path: string;
  private readonly baudRate: number;
  private readonly onClosed: (reason: string) => void;
  private port: SerialPort | null = null;
  private behind = 0;

  /** `onClosed` is told when the port goes away while in use. */
  constructor(path: string, baudRate: number, onClosed: (reason: string) => void) {
    this.path = path;
    this.baudRate = baudRate;
    this.onClosed = onClosed;
    this.url = `serial://${path}?baud=${baudRate}`;
  }

  async start(): Promise<void> {
    const port = new SerialPort({ path: this.path, baudRate: this.baudRate, autoOpen: false });
    await new Promise<void>((resolve, reject) => {
      port.open(error => {
        if (error) reject(new OutputError(`cannot open ${this.path}: ${error.message}`));
        else resolve();
      });
    });
    this.port = port;
    port.on('error', error => this.lose(error.message));
    port.on('close', () => this.lose('the port is gone'));
    port.resume();
  }

  write(bytes: Uint8Array): void {
    const { port } = this;
    if (!port) return;
    if (this.behind + bytes.length > MAX_BEHIND_BYTES) {
      this.lostBytes += bytes.length;
      return;
    }
    this.behind += bytes.length;
    port.write(bytes, () => {
      this.behind -= bytes.length;
    });
  }

  async stop(): Promise<void> {
    const { port } = this;
    this.port = null;
    if (port?.isOpen) await new Promise<void>(resolve => port.close(() => resolve()));
  }

  private lose(reason: string): void {
    if (this.port === null) return;
    this.port = null;
    this.onClosed(`${this.path}: ${reason}`);
  }
}
