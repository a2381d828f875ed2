/** A network that misbehaves between two programs of this machine: cut, frozen, slow, thin. */
import { connect, createServer, type Socket } from 'node:net';
import { onTestFinished } from 'vitest';
import { freePort } from '../../support/mosquitto.ts';

export interface TcpProxy {
  readonly port: number;
  /** Every connection ends at once; new ones are refused until `mend`. */
  cut(): void;
  /** Connections stay, and nothing passes any more: half open, as behind a router that lost its power. */
  freeze(): void;
  /** New connections pass again. What was frozen stays so, as after a router's restart. */
  mend(): void;
  /** Each piece arrives so much later. */
  delay(ms: number): void;
  /** At most so many bytes a second towards the target; null: no limit. */
  limit(bytesPerSecond: number | null): void;
  readonly connections: () => number;
}

interface Pair {
  readonly client: Socket;
  readonly target: Socket;
  frozen: boolean;
}

export async function startTcpProxy(targetPort: number): Promise<TcpProxy> {
  const pairs = new Set<Pair>();
  let open = true;
  let frozen = false;
  let delayMs = 0;
  let bytesPerSecond: number | null = null;
  const server = createServer(client => {
    if (!open) {
      client.destroy();
      return;
    }
    const target = connect(targetPort, '127.0.0.1');
    const pair: Pair = { client, target, frozen };
    pairs.add(pair);
    const end = (): void => {
      // Over a frozen line nobody learns that the other side has gone.
      if (pair.frozen) return;
      pairs.delete(pair);
      client.destroy();
      target.destroy();
    };
    for (const socket of [client, target]) {
      socket.on('error', end);
      socket.on('close', end);
    }
    const pass = (from: Socket, to: Socket, limited: boolean): void => {
      from.on('data', bytes => {
        const busyMs = limited && bytesPerSecond ? (bytes.length / bytesPerSecond) * 1000 : 0;
        const wait = delayMs + busyMs;
        if (wait === 0) {
          if (!pair.frozen) to.write(bytes);
          return;
        }
        from.pause();
        setTimeout(() => {
          if (!pair.frozen) to.write(bytes);
          from.resume();
        }, wait);
      });
    };
    pass(client, target, true);
    pass(target, client, false);
  });
  const port = await freePort();
  await new Promise<void>(resolve => server.listen(port, '127.0.0.1', resolve));
  const endAll = (): void => {
    for (const pair of pairs) {
      pair.client.destroy();
      pair.target.destroy();
    }
    pairs.clear();
  };
  onTestFinished(() => {
    endAll();
    server.close();
  });
  return {
    port,
    cut: () => {
      open = false;
      endAll();
    },
    freeze: () => {
      frozen = true;
      for (const pair of pairs) pair.frozen = true;
    },
    mend: () => {
      open = true;
      frozen = false;
    },
    delay: ms => {
      delayMs = ms;
    },
    limit: value => {
      bytesPerSecond = value;
    },
    connections: () => pairs.size,
  };
}
