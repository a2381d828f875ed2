import { writeFileSync } from 'node:fs';
import { join } from 'node:path';
import { afterEach, describe, expect, it, vi } from 'vitest';
import { ProgramError } from '#core/program/program-error';
import { loadConfig, trainingSetup } from '../../../dashboard/server/load-config.ts';
import { areMachinesEnrolled, isSecure } from '../../../dashboard/server/machines/network-rules.ts';
import { tempDir } from '../../support/temp-dir.ts';

afterEach(() => {
  vi.unstubAllEnvs();
});

function toml(text: string): string {
  const file = join(tempDir(), 'dashboard.toml');
  writeFileSync(file, text);
  return file;
}

async function sentence(flags: Record<string, unknown>, file?: string): Promise<string> {
  const error = await loadConfig(flags, file).catch((reason: unknown) => reason);
  expect(error).toBeInstanceOf(ProgramError);
  expect((error as ProgramError).exitCode).toBe(3);
  return (error as ProgramError).message;
}

describe('loadConfig', () => {
  it('has a default for everything', async () => {
    const { settings, sources } = await loadConfig({}, undefined);
    expect(settings).toMatchObject({ http: { host: '127.0.0.1', port: 8080 }, store: 'truck', broker: null });
    expect(new Set(Object.values(sources))).toEqual(new Set(['default']));
  });

  it('flags go before the environment, the environment before the file', async () => {
    const file = toml('store = "from-file"\ndata = "file-dir"\nhttp = "127.0.0.1:1"\nmax_rigs = 7\n');
    vi.stubEnv('GIRTHLOG_DASHBOARD_STORE', 'from-env');
    vi.stubEnv('GIRTHLOG_DASHBOARD_DATA', 'env-dir');
    const { settings, sources } = await loadConfig({ store: 'from-flag' }, file);
    expect(settings).toMatchObject({
      store: 'from-flag',
      data: 'env-dir',
      http: { host: '127.0.0.1', port: 1 },
      maxRigs: 7,
    });
    expect(sources).toMatchObject({
      store: 'flag --store',
      data: 'environment GIRTHLOG_DASHBOARD_DATA',
      http: `${file} (http)`,
      logLevel: 'default',
    });
  });

  it('reads numbers and yes or no from the environment', async () => {
    vi.stubEnv('GIRTHLOG_DASHBOARD_MAX_RIGS', '9');
    vi.stubEnv('GIRTHLOG_DASHBOARD_OPEN_NETWORK', 'true');
    vi.stubEnv('GIRTHLOG_DASHBOARD_HOST_NAMES', 'truck-1,truck-2');
    const { settings } = await loadConfig({}, undefined);
    expect(settings).toMatchObject({ maxRigs: 9, openNetwork: true, hostNames: ['truck-1', 'truck-2'] });
  });

  it('reads rigs in the order of their places', async () => {
    const { settings } = await loadConfig({ rigs: ['spread-1/rig-b', 'spread-1/rig-a'] }, undefined);
    expect(settings.rigs.map(({ rig }) => rig)).toEqual(['rig-b', 'rig-a']);
    expect(await sentence({ rigs: ['rig-b'] })).toBe(
      'flag --rigs: "rig-b" is not SITE/RIG, such as spread-1/rig-a.',
    );
  });

  it('asks whether a near key was meant', async () => {
    const file = toml('strore = "truck"\n');
    expect(await sentence({}, file)).toBe(
      `Configuration file ${file}: unknown key "strore"; did you mean "store"?`,
    );
  });

  it('names file and line of a text that is not TOML', async () => {
    const file = toml('store = "truck"\nhttp = \n');
    expect(await sentence({}, file)).toContain(`${file}, line 2`);
  });

  it('names the file that is not there', async () => {
    expect(await sentence({}, '/nowhere/x.toml')).toContain('/nowhere/x.toml (ENOENT)');
  });

  it.each(['8080', '127.0.0.1', '127.0.0.1:99999', ':80', '127.0.0.1:-1'])(
    'refuses the address %s',
    async http => {
      expect(await sentence({ http })).toContain('flag --http');
    },
  );

  it('refuses to open the dashboard to the network unless told so', async () => {
    expect(await sentence({ http: '0.0.0.0:8080' })).toContain('--open-network');
    expect(await sentence({ mqtt: '10.0.0.2:1883' })).toContain('--mqtt 10.0.0.2');
    const { settings } = await loadConfig({ http: '0.0.0.0:8080', openNetwork: true }, undefined);
    expect(settings.http.host).toBe('0.0.0.0');
    // With an external broker nothing listens for MQTT here.
    await loadConfig({ mqtt: '10.0.0.2:1883', broker: 'mqtt://10.0.0.5' }, undefined);
    await loadConfig({ http: '[::1]:8080', mqtt: 'localhost:1883' }, undefined);
  });

  it('opens the broker to the network with TLS, and then to enrolled machines only', async () => {
    const { settings } = await loadConfig({ mqtt: '0.0.0.0:8883', tls: 'on' }, undefined);
    expect(isSecure(settings)).toBe(true);
    expect(areMachinesEnrolled(settings)).toBe(true);
    const { settings: here } = await loadConfig({}, undefined);
    expect([isSecure(here), areMachinesEnrolled(here)]).toEqual([false, false]);
    const { settings: closed } = await loadConfig({ machines: 'enrolled' }, undefined);
    expect(areMachinesEnrolled(closed)).toBe(true);
  });

  it('wants a certificate with its key, and TLS to use it with', async () => {
    expect(await sentence({ tls: 'on', tlsCertificate: 'a.pem' })).toContain('belong together');
    expect(await sentence({ tlsCertificate: 'a.pem', tlsKey: 'a.key' })).toContain('--tls on');
  });
});

describe('a dashboard of training', () => {
  const url = 'http://127.0.0.1:7070';

  it('is one where the control of the simulator is named, in a table or as one key', async () => {
    for (const text of [`[training]\ncontrol_url = "${url}"\n`, `training_control_url = "${url}"\n`]) {
      expect((await loadConfig({}, toml(text))).settings.trainingControlUrl).toBe(url);
    }
    expect((await loadConfig({}, undefined)).settings.trainingControlUrl).toBeNull();
    expect(await sentence({}, toml('[training]\ncontrol = "x"\n'))).toContain(
      'unknown key "training_control"',
    );
  });

  it.each(['http://10.0.0.7:7070', 'https://127.0.0.1:7070', 'http://127.0.0.1:7070/path'])(
    'is not controlled over %s',
    async trainingControlUrl => {
      expect(await sentence({ trainingControlUrl })).toContain('use http://127.0.0.1:PORT');
    },
  );

  it('takes its secrets from the environment, and only whole ones', async () => {
    const { settings } = await loadConfig({ trainingControlUrl: url }, undefined);
    const setup = () => trainingSetup(settings);
    expect(setup).toThrow(/needs GIRTHLOG_TRAINING_TOKEN/);
    vi.stubEnv('GIRTHLOG_TRAINING_TOKEN', 'token-of-sixteen');
    vi.stubEnv('GIRTHLOG_TRAINING_TRAINER_KEY', 'short');
    expect(setup).toThrow(/needs GIRTHLOG_TRAINING_TRAINER_KEY/);
    vi.stubEnv('GIRTHLOG_TRAINING_TRAINER_KEY', 'key-of-sixteen-x');
    expect(setup()).toEqual({ controlUrl: url, token: 'token-of-sixteen', trainerKey: 'key-of-sixteen-x' });
    expect(trainingSetup({ ...settings, trainingControlUrl: null })).toBeNull();
  });
});
