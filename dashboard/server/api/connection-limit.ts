/** How many connections one address may hold: a machine that opens hundreds shuts out nobody but itself. */
import type { Server, Socket } from 'node:net';

/** Of all together; far more than a truck has screens. */
const MOST = 512;
/** A hundred screens behind one address still have theirs. */
const MOST_OF_ONE = 200;

export function limitConnections(server: Server, onRefused: (address: string) => void): void {
  server.maxConnections = MOST;
  const held = new Map<string, number>();
  // Before TLS shakes hands, which costs more than an answer does.
  server.on('connection', (socket: Socket) => {
    const address = socket.remoteAddress ?? '';
    const count = (held.get(address) ?? 0) + 1;
    if (count > MOST_OF_ONE) {
      socket.destroy();
      onRefused(address);
      return;
    }
    held.set(address, count);
    socket.once('close', () => {
      const left = held.get(address)! - 1;
      if (left > 0) held.set(address, left);
      else held.delete(address);
    });
  });
}
