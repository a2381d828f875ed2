import { constants } from 'node:fs';
import { chmod, copyFile, readdir, writeFile } from 'node:fs/promises';
import { basename, dirname, join } from 'node:path';
import { bundlePath } from '../demo/bundle-path.ts';
import type { DataFolder } from '../demo/data-folder.ts';
import { edgeConfigText } from '../demo/edge-config.ts';
import { SupervisedChild } from '../demo/supervised-child.ts';
import type { RigSettings } from '../rig/rig-settings.ts';

export interface TrainingEdgesOptions {
  readonly folder: DataFolder;
  readonly site: string;
  readonly brokerUrl: string;
  /** Number of the stores that are begun first. */
  readonly generation: number;
  say(sentence: string): void;
  giveUp(sentence: string): void;
}

interface RunningEdge {
  readonly child: SupervisedChild;
  readonly config: string;
}

export const EDGE_GRACE_MS = 8000;
/** A lesson may stand frozen so long without its pass ending in the record, s. */
const LONGEST_FREEZE_S = 3600;

/** An edge for each rig of the lesson, kept while its configuration stays what it was. */
export class TrainingEdges {
  private readonly options: TrainingEdgesOptions;
  private readonly edges = new Map<string, RunningEdge>();
  /** Counts the stores: a lesson that ran fast has dated its records ahead, and the next begins a store of its own. */
  private generation: number;

  constructor(options: TrainingEdgesOptions) {
    this.options = options;
    this.generation = options.generation;
  }

  /** `urlOf`: where a rig's line is. */
  async keepFor(
    rigs: readonly RigSettings[],
    urlOf: (rig: string) => string,
    replay: boolean,
    fresh: boolean,
  ): Promise<void> {
    if (fresh) this.generation++;
    const wanted = rigs.map(rig => ({ rig, config: this.configOf(rig, urlOf(rig.id), replay) }));
    const leaving = [...this.edges].filter(
      ([id, { config }]) => !wanted.some(edge => edge.rig.id === id && edge.config === config),
    );
    await Promise.all(
      leaving.map(async ([id, { child }]) => {
        this.edges.delete(id);
        await child.stop(EDGE_GRACE_MS);
      }),
    );
    for (const { rig, config } of wanted) {
      if (this.edges.has(rig.id)) continue;
      await this.keepKey(rig.id, this.storeOf(rig.id, replay));
      await this.startEdge(rig.id, config);
    }
  }

  /** A rig signs with one key, whatever store it is given: the truck takes a new one for somebody else's. */
  private async keepKey(rig: string, store: string): Promise<void> {
    const folder = dirname(store);
    const names = await readdir(folder).catch((): string[] => []);
    const kept = names.filter(name => name.startsWith(`${rig}-`) && name.endsWith('.db.key')).sort()[0];
    if (kept === undefined || names.includes(`${basename(store)}.key`)) return;
    await copyFile(join(folder, kept), `${store}.key`, constants.COPYFILE_EXCL);
    await chmod(`${store}.key`, 0o400);
  }

  private storeOf(rig: string, replay: boolean): string {
    const origin = replay ? 'replay' : 'simulated';
    return this.options.folder.of('edges', `${rig}-${origin}-${this.generation}.db`);
  }

  async stop(): Promise<void> {
    await Promise.all([...this.edges.values()].map(({ child }) => child.stop(EDGE_GRACE_MS)));
    this.edges.clear();
  }

  private configOf(rig: RigSettings, url: string, replay: boolean): string {
    const { site, brokerUrl } = this.options;
    const origin = replay ? 'replay' : 'simulated';
    return edgeConfigText(
      { ...rig, rig: rig.id, url, format: 'text' },
      site,
      brokerUrl,
      this.storeOf(rig.id, replay),
      { origin, feedReadAt: rig.feedSensor, passJoinS: LONGEST_FREEZE_S },
    );
  }

  private async startEdge(rig: string, config: string): Promise<void> {
    const { folder, say, giveUp } = this.options;
    const configPath = folder.of(`edge-${rig}.toml`);
    await writeFile(configPath, config);
    const child = new SupervisedChild({
      name: `edge of ${rig}`,
      script: bundlePath('girthlog-edge'),
      logFile: folder.of('logs', `edge-${rig}.log`),
      args: () => ['run', '--config', configPath],
      onLine: () => undefined,
      say,
      giveUp,
    });
    this.edges.set(rig, { child, config });
    child.start();
  }
}
