/** Certificates that are not good: the edge connects to nobody, says why, keeps everything, and delivers later. */
import { describe, expect, it } from 'vitest';
import { freePort, mosquittoMissing } from '../support/mosquitto.ts';
import { waitUntil } from '../support/wait-until.ts';
import { type Certificate, makeAuthority, opensslMissing } from './harness/certificates.ts';
import { makeStation } from './harness/station.ts';

describe.skipIf(mosquittoMissing || opensslMissing)('certificates', () => {
  it('of a broker expired or for another host, of a device revoked: recording goes on, the reason is told, nothing is lost', async () => {
    const authority = makeAuthority();
    const good = authority.issue('broker', 'IP:127.0.0.1');
    const expired = authority.issue('expired', 'IP:127.0.0.1', true);
    const elsewhere = authority.issue('elsewhere', 'DNS:elsewhere.example');
    const device = authority.issue('rig-a', 'DNS:rig-a');
    const nobody = authority.revoked();
    const tlsPort = await freePort();
    const listener = (server: Certificate, revoked: string): string[] => [
      `listener ${tlsPort} 127.0.0.1`,
      `cafile ${authority.cert}`,
      `certfile ${server.cert}`,
      `keyfile ${server.key}`,
      'require_certificate true',
      `crlfile ${revoked}`,
    ];
    const station = await makeStation({
      seed: 1,
      mosquittoSettings: listener(expired, nobody),
      edgeBroker: async () => `mqtts://127.0.0.1:${tlsPort}`,
      edgeSettings: [
        `broker.ca_file=${authority.cert}`,
        `broker.cert_file=${device.cert}`,
        `broker.key_file=${device.key}`,
      ],
    });
    const broker = station.mosquitto!;
    await station.startTruck();
    const edge = station.startEdge();
    const says = (reason: RegExp) =>
      waitUntil(
        () => reason.test(edge.stderr()),
        () => `the edge to say ${reason}; ${edge.stderr().slice(-1500)}`,
        30_000,
      );
    await says(/"brokerRefused","reason":"certificate has expired"/);
    await broker.kill();
    await broker.start(listener(elsewhere, nobody));
    await says(/"brokerRefused","reason":"[^"]*does not match/);
    await broker.kill();
    await broker.start(listener(good, authority.revoked(device)));
    await says(/"brokerRefused","reason":"[^"]*(revoked|alert number 44)/i);
    await waitUntil(() => station.committed() > 10, 'recording to go on');
    expect(station.taken()).toBe(0);
    await broker.kill();
    await broker.start(listener(good, nobody));
    await waitUntil(() => station.taken() > 0, 'records at the truck', 30_000);
    await station.rig.stop();
    await station.allTaken(() => edge);
    expect(await edge.stop()).toBe(0);
    const books = await station.account();
    expect(books.holes).toEqual([]);
    expect(books.delivered).toEqual(books.stored);
  });
});
