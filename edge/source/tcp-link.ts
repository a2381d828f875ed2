/** A serial device server: bytes over TCP. Nothing is ever written to it. */
import { connect, type Socket } from 'node:net';
import type { Link, LinkEvents } from './link.ts';
import { problem, problemOf } from './link-problem.ts';

/** A device server that lost its power sends nothing: keep-alive finds out. */
const KEEP_ALIVE_MS = 10_000;
const READ_BYTES = 65_536;

export class TcpLink implements Link {
  readonly name: string;
  readonly hasNode = false;
  private readonly host: string;
  private readonly port: number;
  private socket: Socket | null = null;

  constructor(host: string, port: number) {
    this.host = host;
    this.port = port;
    this.name = `${host.includes(':') ? `[${host}]` : host}:${port}`;
  }

  open(events: LinkEvents): void {
    const socket = connect({
      host: this.host,
      port: this.port,
      // Without a stream's buffers between: half the cost of a read, and a socket that is held is not read.
      onread: {
        buffer: new Uint8Array(READ_BYTES),
        callback: (n, buffer) => {
          events.onBytes(buffer.slice(0, n));
          return true;
        },
      },
    });
    this.socket = socket;
    let failure: unknown = null;
    socket.setKeepAlive(true, KEEP_ALIVE_MS);
    socket.once('connect', () => events.onOpen());
    socket.on('error', error => {
      failure = error;
    });
    socket.on('end', () => socket.destroy());
    socket.once('close', () => {
      const why =
        failure === null
          ? problem('gone', `${this.name} has closed the connection`)
          : problemOf(failure, this.name);
      events.onDown(why);
    });
  }

  async close(): Promise<void> {
    const { socket } = this;
    this.socket = null;
    if (socket === null || socket.closed) return;
    await new Promise<void>(resolve => {
      socket.once('close', () => resolve());
      socket.destroy();
    });
  }

  present(): boolean {
    return true;
  }

  hold(): void {
    this.socket?.pause();
  }

  release(): void {
    this.socket?.resume();
  }
}
