import { createServer, type Server, type Socket } from 'node:net';
import { type ByteOutput, OutputError } from './byte-output.ts';

/** A client that is this far behind loses bytes until it has caught up. */
const MAX_BEHIND_BYTES = 256 * 1024;

/** A serial device server: every client that connects gets `greeting` and then the running stream. */
export class TcpOutput implements ByteOutput {
  lostBytes = 0;
  private readonly host: string;
  private readonly wantedPort: number;
  private readonly greeting: () => Uint8Array;
  private readonly clients = new Set<Socket>();
  private server: Server | null = null;
  private port = 0;

  constructor(host: string, port: number, greeting: () => Uint8Array) {
    this.host = host;
    this.wantedPort = port;
    this.greeting = greeting;
  }

  get url(): string {
    const host = this.host.includes(':') ? `[${this.host}]` : this.host;
    return `tcp://${host}:${this.port}`;
  }

  /** How many are connected now. */
  get readers(): number {
    return this.clients.size;
  }

  async start(): Promise<void> {
    const server = createServer(socket => this.accept(socket));
    this.server = server;
    await new Promise<void>((resolve, reject) => {
      server.once('error', error => {
        reject(new OutputError(`cannot listen on tcp://${this.host}:${this.wantedPort}: ${error.message}`));
      });
      server.listen(this.wantedPort, this.host, resolve);
    });
    const address = server.address();
    this.port = typeof address === 'object' && address !== null ? address.port : this.wantedPort;
  }

  write(bytes: Uint8Array): void {
    for (const client of this.clients) {
      if (client.writableLength > MAX_BEHIND_BYTES) this.lostBytes += bytes.length;
      else client.write(bytes);
    }
  }

  async stop(): Promise<void> {
    const { server } = this;
    if (!server) return;
    this.server = null;
    for (const client of this.clients) client.destroy();
    await new Promise<void>(resolve => server.close(() => resolve()));
  }

  private accept(socket: Socket): void {
    this.clients.add(socket);
    socket.setNoDelay(true);
    socket.on('error', () => socket.destroy());
    socket.on('close', () => this.clients.delete(socket));
    // Nothing a client sends means anything to a device that only talks; it is read and dropped.
    socket.resume();
    socket.write(this.greeting());
  }
}
