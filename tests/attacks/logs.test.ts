/** The log is lines of JSON, one an event, whatever is entered; and nothing secret stands in it. */
import { expect, it } from 'vitest';
import { startDashboard } from '../support/dashboard-program.ts';
import { mqttClient } from '../support/mqtt-client.ts';
import { AS_PROGRAM, PROGRAM_TOKEN } from '../support/program-token.ts';
import { waitUntil } from '../support/wait-until.ts';

const FORGED = '{"event":"started","msg":"forged"}';
const SECRETS = ['seven grey herons wade', 'not the passphrase at all', PROGRAM_TOKEN];

it('keeps its lines, and no secret in them', async () => {
  const dashboard = await startDashboard({ args: ['--log-level', 'debug'] });
  const [passphrase, wrong] = SECRETS as [string, string];
  const send = (method: string, path: string, body: unknown, headers: Record<string, string> = AS_PROGRAM) =>
    fetch(dashboard.http + path, {
      method,
      headers: { 'content-type': 'application/json', 'x-girthlog': '1', ...headers },
      body: JSON.stringify(body),
    });
  const person = await dashboard.post<{ id: string }>('/api/v1/people', {
    name: `A. Example\n${FORGED}\r\n\u001b[2J`,
    roles: ['inspector'],
  });
  await send('POST', `/api/v1/people/${person.id}/passphrase`, {
    ...{ author: person.id, authorPassphrase: null, passphrase },
  });
  await send('POST', '/api/v1/session', { signInName: `x\n${FORGED}`, passphrase: wrong }, {});
  await send('POST', '/api/v1/people', `{"name":"${FORGED}`);
  await fetch(`${dashboard.http}/api/v1/${encodeURIComponent(`\n${FORGED}`)}?key=${PROGRAM_TOKEN}`);
  const { publish } = await mqttClient(dashboard.mqtt);
  await waitUntil(async () => {
    await publish('girthlog/1/spread-1/rig-a/live', `\n${FORGED}\n`);
    return (await dashboard.counter('payloadInvalid')) + (await dashboard.counter('payloadNotJson')) > 0;
  }, 'the message to be refused');
  await dashboard.stop();
  const lines = dashboard.stderr().trim().split('\n');
  expect(lines.length).toBeGreaterThan(3);
  const events = lines.filter(line => line.startsWith('{')).map(line => JSON.parse(line) as { msg?: string });
  expect(events.filter(({ msg }) => msg === 'forged')).toEqual([]);
  // What is no event is what the program says to the person who started it, never what somebody entered.
  expect(lines.filter(line => !line.startsWith('{') && line.includes('forged'))).toEqual([]);
  for (const secret of SECRETS) expect(dashboard.stderr()).not.toContain(secret);
});
