/** What the doctor thinks of the broker: reachable, and does it let this edge in. Publishes and subscribes nothing. */
import { readFileSync } from 'node:fs';
import mqtt from 'mqtt';
import { type Finding, finding } from '#core/program/finding';
import { type BrokerSettings, ENROL_FIRST } from '../publisher/mqtt-link.ts';

const CHECK = 'broker';
const LIMIT_MS = 5000;

/** `clientId` must be another than the running edge's: a broker ends the older one of two with one name. */
export async function brokerFinding(broker: BrokerSettings, clientId: string): Promise<Finding> {
  const files = fileProblem(broker);
  if (files !== null) return finding(CHECK, 'stop', files);
  for (const url of broker.url.split(',')) {
    const problem = await connectOnce({ ...broker, url }, clientId);
    if (problem !== null) return judged(problem, url);
  }
  return finding(CHECK, 'ok', `${broker.url} is there and lets this edge in`);
}

interface Refusal {
  readonly code: string | number;
  readonly message: string;
}

/** CONNACK codes of MQTT 3.1.1, 3.2.2.3. */
const WRONG_PASSWORD = 4;
const NOT_AUTHORISED = 5;

function judged({ code, message }: Refusal, url: string): Finding {
  if (code === WRONG_PASSWORD || code === NOT_AUTHORISED) {
    return finding(CHECK, 'stop', `${url} refuses this edge (${message}): ${ENROL_FIRST}`);
  }
  if (/CERT|SSL|TLS|ERR_OSSL|SELF_SIGNED|UNABLE_TO/i.test(`${code} ${message}`)) {
    return finding(
      CHECK,
      'stop',
      `${url}: the certificates do not fit (${code}): see ca_file, cert_file, key_file and the clock`,
    );
  }
  return finding(
    CHECK,
    'look',
    `${url} cannot be reached (${code}): recording goes on and waits; see the truck, the cable and broker.url`,
  );
}

function connectOnce(broker: BrokerSettings, clientId: string): Promise<Refusal | null> {
  const { username, passwordFile, caFile, certFile, keyFile, url } = broker;
  return new Promise(resolve => {
    const client = mqtt.connect(url, {
      ...(username === null ? {} : { username }),
      ...(passwordFile === null ? {} : { password: readFileSync(passwordFile, 'utf8').trimEnd() }),
      ...(caFile === null ? {} : { ca: readFileSync(caFile) }),
      ...(certFile === null ? {} : { cert: readFileSync(certFile) }),
      ...(keyFile === null ? {} : { key: readFileSync(keyFile) }),
      clientId,
      protocolVersion: 4,
      clean: true,
      connectTimeout: LIMIT_MS,
      reconnectPeriod: 0,
    });
    const end = (result: Refusal | null): void => {
      clearTimeout(limit);
      client.end(true);
      resolve(result);
    };
    const limit = setTimeout(() => end({ code: 'no answer', message: 'no answer' }), LIMIT_MS);
    client.once('connect', () => end(null));
    client.once('error', error => end(refusalOf(error)));
    client.once('close', () => end({ code: 'closed', message: 'the connection was closed at once' }));
  });
}

function refusalOf(error: Error): Refusal {
  const [first = error] = error instanceof AggregateError ? (error.errors as Error[]) : [error];
  return { code: (first as { code?: string | number }).code ?? first.message, message: first.message };
}

function fileProblem({ passwordFile, caFile, certFile, keyFile }: BrokerSettings): string | null {
  for (const file of [passwordFile, caFile, certFile, keyFile]) {
    if (file === null) continue;
    try {
      readFileSync(file);
    } catch (error) {
      return `${file} cannot be read (${(error as NodeJS.ErrnoException).code}): see that it is there and belongs to the service's group`;
    }
  }
  return null;
}
