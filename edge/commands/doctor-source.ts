/** What the doctor thinks of the line to the device. */
import { accessSync, constants } from 'node:fs';
import { connect } from 'node:net';
import { type Finding, finding } from '#core/program/finding';
import { problemOf } from '../source/link-problem.ts';
import { describePort, type PortHost, portHint } from '../source/serial-ports.ts';
import { parseSourceUrl } from '../source/source-url.ts';

const CHECK = 'source';
const CONNECT_LIMIT_MS = 3000;

/** `runningPid`: of the edge that has this store open; null: none. What it holds is left to it. */
export async function sourceFinding(
  url: string,
  host: PortHost,
  runningPid: number | null,
): Promise<Finding> {
  const source = parseSourceUrl(url);
  switch (source.kind) {
    case 'serial':
    case 'modbus-rtu':
      return serialFinding(source.path, host, runningPid);
    case 'tcp':
    case 'modbus-tcp':
      // Many device servers take one connection only: it is the running edge's.
      return runningPid !== null
        ? finding(
            CHECK,
            'ok',
            `${source.host}:${source.port} is left to the edge that runs (process ${runningPid})`,
          )
        : tcpFinding(source.host, source.port);
    case 'file':
      return fileFinding(source.path);
  }
}

function serialFinding(path: string, host: PortHost, runningPid: number | null): Finding {
  const port = describePort(path, host);
  const hint = portHint(port);
  if (port.realPath === null) return finding(CHECK, 'stop', `${path} ${hint}`);
  if (!port.mayOpen) return finding(CHECK, 'stop', `${path}: ${hint}`);
  const others = port.heldBy.filter(({ pid }) => pid !== runningPid && pid !== process.pid);
  if (others.length > 0) {
    return finding(CHECK, 'stop', `${path}: ${portHint({ ...port, heldBy: others })}: end that program`);
  }
  if (!port.isStable)
    return finding(CHECK, 'look', `${path}: ${hint}; take the name under /dev/serial/by-id`);
  return port.heldBy.length > 0
    ? finding(CHECK, 'ok', `${path} is open in the edge that runs (process ${runningPid})`)
    : finding(CHECK, 'ok', `${path} is there, free, and this user may open it`);
}

async function tcpFinding(host: string, port: number): Promise<Finding> {
  const problem = await new Promise<string | null>(resolve => {
    const socket = connect({ host, port, timeout: CONNECT_LIMIT_MS });
    const end = (said: string | null): void => {
      socket.destroy();
      resolve(said);
    };
    socket.once('connect', () => end(null));
    socket.once('timeout', () => end(`${host}:${port} does not answer: is it on and the cable in?`));
    socket.once('error', error => end(problemOf(error, `${host}:${port}`).sentence));
  });
  return problem === null
    ? finding(CHECK, 'ok', `${host}:${port} takes a connection`)
    : finding(CHECK, 'look', `${problem.replace(/\?$/, '')} (the edge goes on trying)`);
}

function fileFinding(path: string): Finding {
  try {
    accessSync(path, constants.R_OK);
    return finding(CHECK, 'ok', `${path} can be read`);
  } catch (error) {
    return finding(CHECK, 'stop', `${problemOf(error, path).sentence}: name another file`);
  }
}
