/** A serial device server that comes and goes. */
import { type AddressInfo, createServer, type Server, type Socket } from 'node:net';
import { describe, expect, it, onTestFinished } from 'vitest';
import { FrameEncoder } from '#core/frame/frame-encoder';
import { concatChunks } from '#core/sample/chunk';
import { TcpLink } from '../../edge/source/tcp-link.ts';
import { listen } from '../support/pty-listener.ts';
import { waitUntil } from '../support/wait-until.ts';
import { device, FOUR, joined } from '../unit/frame/frame-support.ts';

interface DeviceServer {
  readonly port: number;
  readonly sockets: Socket[];
  close(): Promise<void>;
}

async function serve(port = 0): Promise<DeviceServer> {
  const sockets: Socket[] = [];
  const server: Server = createServer(socket => {
    socket.on('error', () => undefined);
    sockets.push(socket);
  });
  await new Promise<void>((resolve, reject) => {
    server.once('error', reject);
    server.listen(port, '127.0.0.1', resolve);
  });
  const close = async (): Promise<void> => {
    for (const socket of sockets) socket.destroy();
    await new Promise<void>(resolve => server.close(() => resolve()));
  };
  onTestFinished(close);
  return { port: (server.address() as AddressInfo).port, sockets, close };
}

describe('a TCP source', () => {
  it('comes back by itself, and half a frame of the old connection joins nothing of the new one', async () => {
    const first = await serve();
    const listener = listen({ url: `tcp://127.0.0.1:${first.port}` });
    const encoder = new FrameEncoder('binary', device(FOUR));
    const frame = (k: number): Uint8Array => encoder.data(k * 10_000, 10_000, [[200 + k, 24, 171, 7.5]]);
    await waitUntil(() => first.sockets.length === 1, 'the connection');
    const cut = frame(1);
    first.sockets[0]!.write(joined(encoder.announcementBytes, frame(0), cut.subarray(0, 9)));
    await waitUntil(() => listener.samples() === 1, 'the first sample');
    await first.close();
    await waitUntil(() => listener.state()?.problem === 'refused', 'the refusal');
    expect(listener.state()!.detail).toMatch(/refuses the connection: .* trying again in [\d.]+ s$/);
    const second = await serve(first.port);
    await waitUntil(() => second.sockets.length === 1, 'the next connection');
    second.sockets[0]!.write(joined(cut.subarray(9), frame(2)));
    await waitUntil(() => listener.samples() === 2, 'the next sample');
    expect([...concatChunks(listener.chunks).columns.weldingCurrent!]).toEqual([200, 202]);
    expect(listener.source.counters()).toMatchObject({ skippedBytes: cut.length - 10, badCrc: 0 });
  });

  it('reads nothing while it is held, loses nothing of it, and sees a connection that ended meanwhile', async () => {
    const device = await serve();
    const open = async (): Promise<{ link: TcpLink; text: () => string; down: () => boolean }> => {
      const link = new TcpLink('127.0.0.1', device.port);
      onTestFinished(() => link.close());
      let text = '';
      let isDown = false;
      await new Promise<void>(resolve =>
        link.open({
          onOpen: resolve,
          onBytes: bytes => {
            text += Buffer.from(bytes).toString();
          },
          onDown: () => {
            isDown = true;
          },
        }),
      );
      return { link, text: () => text, down: () => isDown };
    };
    const held = await open();
    const other = await open();
    await waitUntil(() => device.sockets.length === 2, 'both connections');
    held.link.hold();
    device.sockets[0]!.write('one ');
    device.sockets[0]!.write('two ');
    device.sockets[1]!.write('after');
    await waitUntil(() => other.text() === 'after', 'what was sent to the other one later');
    expect(held.text()).toBe('');
    held.link.release();
    await waitUntil(() => held.text() === 'one two ', 'what came while it was held');
    held.link.hold();
    device.sockets[0]!.end('three');
    held.link.release();
    await waitUntil(() => held.down(), 'the end');
    expect(held.text()).toBe('one two three');
  });

  it('does not hammer a server that takes the connection and drops it', async () => {
    const server = createServer(socket => socket.destroy());
    let connections = 0;
    server.on('connection', () => connections++);
    await new Promise<void>(resolve => server.listen(0, '127.0.0.1', resolve));
    onTestFinished(() => new Promise<void>(resolve => server.close(() => resolve())));
    const listener = listen({ url: `tcp://127.0.0.1:${(server.address() as AddressInfo).port}` });
    await waitUntil(() => listener.state()?.detail?.includes('again in 1.6 s'), 'the back-off');
    expect(connections).toBe(4);
  });
});
