/** Sockets that mean no good, at the built dashboard: it answers others, holds little more, and is as before afterwards. */
import { readFileSync } from 'node:fs';
import { connect, type Socket } from 'node:net';
import { describe, expect, it, onTestFinished } from 'vitest';
import { type DashboardProgram, startDashboard } from '../support/dashboard-program.ts';
import { mqttClient } from '../support/mqtt-client.ts';
import { testChain } from '../support/test-records.ts';
import { waitUntil } from '../support/wait-until.ts';

/** Another machine, as far as a server can tell: every 127/8 address is this one. */
const STRANGER = '127.0.0.66';
/** Room for what hundreds of sockets take; a leak of what they send would be far more. */
const MOST_GROWTH_MB = 60;

interface Attack {
  readonly sockets: readonly Socket[];
  /** Those that the other side has ended. */
  readonly closed: () => number;
}

function open(url: string, count: number, first: string | Uint8Array, from = STRANGER): Attack {
  const { hostname, port } = new URL(url);
  let closed = 0;
  const sockets = Array.from({ length: count }, () => {
    const socket = connect({ host: hostname, port: Number(port), localAddress: from });
    socket.on('error', () => {});
    socket.on('close', () => closed++);
    socket.on('connect', () => socket.write(first));
    socket.resume();
    return socket;
  });
  onTestFinished(() => {
    for (const socket of sockets) socket.destroy();
  });
  return { sockets, closed: () => closed };
}

/** Of the dashboard and its broker together. */
function residentMb({ child }: DashboardProgram): number {
  const children = readFileSync(`/proc/${child.pid}/task/${child.pid}/children`, 'utf8').trim().split(' ');
  return [String(child.pid), ...children].reduce((sum, pid) => {
    const [, kb] = /VmRSS:\s+(\d+) kB/.exec(readFileSync(`/proc/${pid}/status`, 'utf8')) ?? [];
    return sum + Number(kb) / 1024;
  }, 0);
}

/** What a person sees and what a rig sends still get through. */
async function stillServes(dashboard: DashboardProgram, seq: number): Promise<void> {
  expect((await fetch(`${dashboard.http}/livez`)).status).toBe(200);
  expect((await fetch(`${dashboard.http}/`)).status).toBe(200);
  const { client, publish } = await mqttClient(dashboard.mqtt);
  const record = testChain(seq).at(-1)!;
  await waitUntil(async () => {
    await publish('girthlog/1/spread-1/rig-a/record', record);
    return (await dashboard.counter('recordStored')) >= seq;
  }, 'a record to be stored meanwhile');
  await client.endAsync();
}

describe('the page’s server', () => {
  it('closes connections that dribble their request, and answers others meanwhile', async () => {
    const dashboard = await startDashboard();
    const attack = open(dashboard.http, 150, 'GET / HTTP/1.1\r\nHost: 127.0.0.1\r\n');
    // A letter now and then, for ever.
    const dribble = setInterval(() => {
      for (const socket of attack.sockets) if (socket.writable) socket.write('x');
    }, 500);
    onTestFinished(() => clearInterval(dribble));
    await stillServes(dashboard, 1);
    await waitUntil(() => attack.closed() === 150, 'every dribbling connection to be closed', 60_000);
    await stillServes(dashboard, 2);
  });

  it('lets one address hold some hundred connections, and nobody else has to wait for it', async () => {
    const dashboard = await startDashboard();
    await stillServes(dashboard, 1);
    const before = residentMb(dashboard);
    const attack = open(dashboard.http, 500, '');
    await waitUntil(() => attack.closed() >= 300, 'those beyond the limit to be closed');
    await stillServes(dashboard, 2);
    expect(await dashboard.counter('connectionRefused')).toBeGreaterThanOrEqual(300);
    expect(residentMb(dashboard) - before).toBeLessThan(MOST_GROWTH_MB);
    for (const socket of attack.sockets) socket.destroy();
    // Once they are gone the same address is served again.
    await waitUntil(async () => {
      const [again] = open(dashboard.http, 1, 'GET /livez HTTP/1.1\r\nHost: 127.0.0.1\r\n\r\n').sockets;
      return await new Promise<boolean>(resolve => {
        again!.on('data', data => resolve(String(data).startsWith('HTTP/1.1 200')));
        again!.on('close', () => resolve(false));
      });
    }, 'the address to be served again');
  });

  it('refuses headers without end and what is no HTTP', async () => {
    const dashboard = await startDashboard();
    const flood = `GET / HTTP/1.1\r\nHost: 127.0.0.1\r\nX-Filler: ${'x'.repeat(100_000)}`;
    const attacks = [
      open(dashboard.http, 20, flood),
      open(dashboard.http, 20, `GET /${'a'.repeat(50_000)} HTTP/1.1\r\n\r\n`),
      open(dashboard.http, 20, '\u0016\u0003\u0001\u0002\u0000\u0001'),
      open(
        dashboard.http,
        20,
        'POST /api/v1/people HTTP/1.1\r\nHost: x\r\nTransfer-Encoding: chunked\r\n\r\nZZZZ\r\n',
      ),
      open(
        dashboard.http,
        20,
        'GET / HTTP/1.1\r\nHost: a\r\nContent-Length: 5\r\nTransfer-Encoding: chunked\r\n\r\n',
      ),
    ];
    for (const [i, attack] of attacks.entries()) {
      await waitUntil(() => attack.closed() === 20, `connections of kind ${i} to be closed`, 60_000);
    }
    await stillServes(dashboard, 1);
  });
});

describe('the broker', () => {
  it('does not grow by what nameless sockets claim to send, and others are served', async () => {
    const dashboard = await startDashboard();
    await stillServes(dashboard, 1);
    const before = residentMb(dashboard);
    // CONNECT, remaining length 256 MB (OASIS MQTT 3.1.1, 2.2.3), and then a megabyte of it.
    const claim = Buffer.concat([Buffer.from([0x10, 0xff, 0xff, 0xff, 0x7f]), Buffer.alloc(1_000_000)]);
    const long = open(dashboard.mqtt, 60, claim);
    await waitUntil(() => long.closed() === 60, 'claims of 256 MB to be closed');
    const silent = open(dashboard.mqtt, 60, '');
    const noise = open(dashboard.mqtt, 60, Buffer.from('GET / HTTP/1.1\r\n\r\n'));
    await waitUntil(() => noise.closed() === 60, 'what is no MQTT to be closed');
    await waitUntil(() => silent.closed() === 60, 'silent connections to be closed', 60_000);
    await stillServes(dashboard, 2);
    expect(residentMb(dashboard) - before).toBeLessThan(MOST_GROWTH_MB);
  });
});
