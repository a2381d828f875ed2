/**
 * What each rig last said of itself, kept beside the store: an export made by a program of its own needs the radius
 * travel is reported at. It is a convenience and no record; where it cannot be written, it is not there.
 */
import { readFileSync, renameSync, writeFileSync } from 'node:fs';
import { join } from 'node:path';
import { z } from 'zod';
import type { Rig } from '#core/messages/api';
import { type Info, infoSchema } from '#core/messages/info';

const FILE = 'rig-info.json';
const fileSchema = z.array(infoSchema);

export class RigInfoFile {
  private readonly directory: string;
  private readonly infos: Map<string, Info>;
  private text: string;

  constructor(directory: string) {
    this.directory = directory;
    const kept = readRigInfos(directory);
    this.infos = new Map(kept.map(info => [`${info.site}/${info.rig}`, info]));
    this.text = JSON.stringify(kept);
  }

  readonly rig = ({ site, rig, info }: Rig): void => {
    if (info === null) return;
    this.infos.set(`${site}/${rig}`, info);
    const text = JSON.stringify([...this.infos.values()]);
    if (text === this.text) return;
    this.text = text;
    try {
      const file = join(this.directory, FILE);
      writeFileSync(`${file}.part`, text, { mode: 0o600 });
      renameSync(`${file}.part`, file);
    } catch {
      // A full disk is told where records are written; the next change tries again.
      this.text = '';
    }
  };
}

/** Empty where there is none, or it is not one. */
export function readRigInfos(directory: string): Info[] {
  try {
    return fileSchema.parse(JSON.parse(readFileSync(join(directory, FILE), 'utf8')));
  } catch {
    return [];
  }
}
