/** What the doctor thinks of the page, the broker and the backups. Sends nothing but a question for readiness. */
import { readdirSync, readFileSync } from 'node:fs';
import { request as httpRequest } from 'node:http';
import { request as httpsRequest } from 'node:https';
import { connect as connectTcp } from 'node:net';
import type { TLSSocket } from 'node:tls';
import { type Finding, finding } from '#core/program/finding';
import { reachable } from '../api/host-in-url.ts';
import { backupsAmong, isOld, newestOf } from '../backup/backup-schedule.ts';
import type { ListenAddress, Settings } from '../settings.ts';
import { withoutSecret } from '../without-secret.ts';

const LIMIT_MS = 5000;
const DAY_MS = 86_400_000;
/** A certificate that ends sooner should be renewed now, days. */
const RENEW_DAYS = 30;

interface Answer {
  readonly warnings: readonly string[];
  /** When the certificate that the page shows ends, UTC ms; null without TLS. */
  readonly certificateEndsMs: number | null;
}

/** `runningPid`: of the dashboard that has this store open; null: none. */
export async function pageFindings(
  settings: Settings,
  runningPid: number | null,
  nowMs: number,
): Promise<Finding[]> {
  const { http, tls } = settings;
  const where = `${http.host}:${http.port}`;
  if (runningPid === null) {
    return [
      (await takesConnection(http))
        ? finding(
            'page',
            'stop',
            `another program listens on ${where}: end it, or choose another address with http`,
          )
        : finding('page', 'ok', `${where} is free`),
    ];
  }
  const answer = await askReadiness(http, tls === 'on');
  if (typeof answer === 'string') {
    return [
      finding(
        'page',
        'stop',
        `the dashboard of process ${runningPid} does not answer on ${where} (${answer}): see its log`,
      ),
    ];
  }
  return [
    finding('page', 'ok', `answers on ${where}`),
    ...answer.warnings.map(text => finding('truck', 'look', text.replace(/\.$/, ''))),
    ...(answer.certificateEndsMs === null ? [] : [certificateFinding(answer.certificateEndsMs, nowMs)]),
  ];
}

export function certificateFinding(endsMs: number, nowMs: number): Finding {
  const days = Math.floor((endsMs - nowMs) / DAY_MS);
  const ends = new Date(endsMs).toISOString().slice(0, 10);
  if (days < 0)
    return finding('certificate', 'stop', `ended on ${ends}: edges and browsers refuse it; renew it`);
  return days < RENEW_DAYS
    ? finding('certificate', 'look', `ends on ${ends}, in ${days} days: renew it`)
    : finding('certificate', 'ok', `holds until ${ends}`);
}

/** Or the reason why there was no answer. */
function askReadiness({ host, port }: ListenAddress, tls: boolean): Promise<Answer | string> {
  return new Promise(resolve => {
    const options = {
      host: reachable(host),
      port,
      path: '/readyz',
      timeout: LIMIT_MS,
      headers: { host: 'localhost' },
    };
    // Nothing secret is sent, and whether the certificate is a good one is what is looked at.
    const asked = tls ? httpsRequest({ ...options, rejectUnauthorized: false }) : httpRequest(options);
    asked.once('response', response => {
      const ends = tls
        ? Date.parse((response.socket as TLSSocket).getPeerCertificate().valid_to)
        : Number.NaN;
      let text = '';
      response.setEncoding('utf8').on('data', part => {
        text += part;
      });
      response.once('end', () => {
        try {
          const { warnings } = JSON.parse(text) as { warnings: string[] };
          resolve({ warnings, certificateEndsMs: Number.isNaN(ends) ? null : ends });
        } catch {
          resolve('what answers is no dashboard');
        }
      });
    });
    asked.once('timeout', () => asked.destroy(new Error('no answer')));
    asked.once('error', error => resolve((error as NodeJS.ErrnoException).code ?? error.message));
    asked.end();
  });
}

function takesConnection({ host, port }: ListenAddress): Promise<boolean> {
  return new Promise(resolve => {
    const socket = connectTcp({ host: reachable(host), port, timeout: LIMIT_MS });
    const end = (taken: boolean): void => {
      socket.destroy();
      resolve(taken);
    };
    socket.once('connect', () => end(true));
    socket.once('timeout', () => end(false));
    socket.once('error', () => end(false));
  });
}

export async function brokerFinding(settings: Settings, runningPid: number | null): Promise<Finding> {
  if (settings.broker !== null) return externalBroker(settings);
  const { mqtt } = settings;
  const where = `${mqtt.host}:${mqtt.port}`;
  const taken = await takesConnection(mqtt);
  if (runningPid === null) {
    return taken
      ? finding(
          'broker',
          'look',
          `another program listens on ${where}: the broker would take a port after it, where no edge looks; end that program or choose another with mqtt`,
        )
      : finding('broker', 'ok', `${where} is free`);
  }
  return taken
    ? finding('broker', 'ok', `takes connections on ${where}`)
    : finding(
        'broker',
        'stop',
        `nothing listens on ${where}: edges that look there deliver nothing; see the dashboard's log for the port it took`,
      );
}

async function externalBroker({
  broker,
  brokerAuthority,
  brokerCertificate,
  brokerKey,
}: Settings): Promise<Finding> {
  const shown = withoutSecret(broker ?? '');
  let files: BrokerFiles;
  try {
    files = {
      ...(brokerAuthority === null ? {} : { ca: readFileSync(brokerAuthority) }),
      ...(brokerCertificate === null ? {} : { cert: readFileSync(brokerCertificate) }),
      ...(brokerKey === null ? {} : { key: readFileSync(brokerKey) }),
    };
  } catch (error) {
    return finding('broker', 'stop', `${(error as Error).message}: see the files that broker_… name`);
  }
  const urls = (broker ?? '').split(',');
  const problems: string[] = [];
  for (const url of urls) {
    const problem = await problemAt(url, files);
    if (problem !== null) problems.push(`${withoutSecret(url)} does not let this dashboard in (${problem})`);
  }
  if (problems.length === 0) return finding('broker', 'ok', `${shown} is there and lets this dashboard in`);
  const said = problems.join('; ');
  // Of a cluster one address is enough to go on.
  return problems.length < urls.length
    ? finding('broker', 'look', `${said}: the other addresses are used; see that node`)
    : finding('broker', 'stop', `${said}: nothing arrives; see the broker, its credentials and certificates`);
}

interface BrokerFiles {
  ca?: Buffer;
  cert?: Buffer;
  key?: Buffer;
}

/** Connects once; what went wrong, or null. */
async function problemAt(url: string, files: BrokerFiles): Promise<string | null> {
  const { connect } = await import('mqtt');
  return new Promise(resolve => {
    const client = connect(url, {
      ...files,
      protocolVersion: 4,
      clean: true,
      connectTimeout: LIMIT_MS,
      reconnectPeriod: 0,
    });
    const end = (said: string | null): void => {
      clearTimeout(limit);
      client.end(true);
      resolve(said);
    };
    const limit = setTimeout(() => end('no answer'), LIMIT_MS);
    client.once('connect', () => end(null));
    client.once('error', error => end((error as NodeJS.ErrnoException).code?.toString() ?? error.message));
    client.once('close', () => end('the connection was closed at once'));
  });
}

export function backupFinding(settings: Settings, nowMs: number): Finding {
  const { backupFolder: folder, store, backupAt: at, backupEveryH: everyH } = settings;
  if (folder === null) {
    return finding(
      'backup',
      'look',
      'none is made by the clock: set backup_folder to another disk than the store’s',
    );
  }
  let names: string[];
  try {
    names = readdirSync(folder);
  } catch (error) {
    const { code } = error as NodeJS.ErrnoException;
    return finding(
      'backup',
      'stop',
      `${folder} cannot be read (${code}): see that its disk is mounted and belongs to the service's user`,
    );
  }
  const newest = newestOf(backupsAmong(names, store), nowMs);
  if (newest === undefined)
    return finding(
      'backup',
      'look',
      `there is none in ${folder} yet: one is made within a minute of the start`,
    );
  return isOld({ at, everyH }, newest.atMs, nowMs)
    ? finding(
        'backup',
        'look',
        `the newest is ${newest.name}: two should have been made since; see the room in ${folder}`,
      )
    : finding('backup', 'ok', `the newest is ${newest.name}`);
}
