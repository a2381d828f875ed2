/**
 * Where the broker listens: one listener, plain or TLS; beside a TLS one a second on loopback for the dashboard itself.
 * Counts connections and watches packet lengths before the broker sees a byte.
 */
import { createServer, type Server, type Socket } from 'node:net';
import { createServer as createTlsServer, type TlsOptions, type Server as TlsServer } from 'node:tls';
import { LengthGuard } from './length-guard.ts';
import type { BrokerTls } from './protocol.ts';

export interface BrokerListenersOptions {
  readonly host: string;
  readonly port: number;
  readonly tries: number;
  readonly tls: BrokerTls | null;
  readonly innerPort: number;
  readonly maxConnections: number;
  readonly maxPacketBytes: number;
  readonly refused: (cause: string, detail: string) => void;
  readonly onSocket: (socket: Socket) => void;
}

const HANDSHAKE_TIMEOUT_MS = 5000;
const LOOPBACK = '127.0.0.1';

export class BrokerListeners {
  private readonly options: BrokerListenersOptions;
  /** Connections as they came, below TLS. */
  private readonly sockets = new Set<Socket>();
  private readonly innerSockets = new WeakSet<Socket>();
  private main: Server | TlsServer | null = null;
  private inner: Server | null = null;

  constructor(options: BrokerListenersOptions) {
    this.options = options;
  }

  async start(): Promise<{ port: number; innerPort: number }> {
    const { host, port, tries, tls, innerPort } = this.options;
    if (tls === null) {
      this.main = createServer({ noDelay: true }, socket => {
        if (this.hasRoom(socket)) this.hand(socket);
      });
      const taken = await listen(this.main, host, port, tries);
      return { port: taken, innerPort: taken };
    }
    const main = createTlsServer({ ...contextOf(tls), ...ASKS, noDelay: true }, socket => this.hand(socket));
    main.on('connection', socket => this.hasRoom(socket));
    main.on('tlsClientError', (error, socket) =>
      this.options.refused('tls', `${socket.remoteAddress ?? ''} ${error.message}`),
    );
    this.main = main;
    this.inner = createServer({ noDelay: true }, socket => {
      if (!this.hasRoom(socket)) return;
      this.innerSockets.add(socket);
      this.hand(socket);
    });
    const taken = await listen(main, host, port, tries);
    return { port: taken, innerPort: await listen(this.inner, LOOPBACK, innerPort, 0) };
  }

  isInner(socket: Socket): boolean {
    return this.innerSockets.has(socket);
  }

  setTls(tls: BrokerTls): void {
    if (this.main && 'setSecureContext' in this.main) this.main.setSecureContext(contextOf(tls));
  }

  async stop(): Promise<void> {
    const closed = [this.main, this.inner].map(
      server => new Promise<void>(resolve => (server ? server.close(() => resolve()) : resolve())),
    );
    for (const socket of this.sockets) socket.destroy();
    await Promise.all(closed);
  }

  private hasRoom(socket: Socket): boolean {
    socket.on('error', () => socket.destroy());
    if (this.sockets.size >= this.options.maxConnections) {
      this.options.refused('connectionLimit', socket.remoteAddress ?? '');
      socket.destroy();
      return false;
    }
    this.sockets.add(socket);
    socket.on('close', () => this.sockets.delete(socket));
    return true;
  }

  private hand(socket: Socket): void {
    socket.on('error', () => socket.destroy());
    const guard = new LengthGuard(this.options.maxPacketBytes);
    // Bytes reach the broker only after the guard has seen them.
    const push = socket.push.bind(socket);
    socket.push = (chunk: unknown, encoding?: BufferEncoding) => {
      if (chunk instanceof Uint8Array && !guard.accept(chunk)) {
        this.options.refused('packetLength', socket.remoteAddress ?? '');
        socket.destroy();
        return false;
      }
      return push(chunk, encoding);
    };
    this.options.onSocket(socket);
  }
}

/** A certificate is asked for and looked at, but who shows none, or another's, hears so from the broker. */
const ASKS: TlsOptions = {
  requestCert: true,
  rejectUnauthorized: false,
  handshakeTimeout: HANDSHAKE_TIMEOUT_MS,
};

function contextOf({ key, certificate, machineAuthority }: BrokerTls): TlsOptions {
  return { key, cert: certificate, ca: machineAuthority, minVersion: 'TLSv1.2' };
}

/** Resolves with the port, which may be one of the `tries` after the wanted one. */
async function listen(server: Server, host: string, port: number, tries: number): Promise<number> {
  for (let attempt = 0; ; attempt++) {
    try {
      await listenOn(server, host, port + attempt);
      const address = server.address();
      return typeof address === 'object' && address ? address.port : port;
    } catch (error) {
      const taken = (error as NodeJS.ErrnoException).code === 'EADDRINUSE';
      if (!taken || attempt >= tries || port + attempt >= 65_535) throw error;
    }
  }
}

function listenOn(server: Server, host: string, port: number): Promise<void> {
  return new Promise((resolve, reject) => {
    const failed = (error: Error): void => {
      server.off('listening', ready);
      reject(error);
    };
    const ready = (): void => {
      server.off('error', failed);
      resolve();
    };
    server.once('error', failed);
    server.once('listening', ready);
    server.listen(port, host);
  });
}
