#!/usr/bin/env node
/**
 * Runs the program of the same name beside it (.cjs). What V8 made of it when it was built is beside it too (.v8) and
 * halves the time to start; V8 itself refuses that where it is of another Node or another text, and compiles anew.
 */
import { readFileSync } from 'node:fs';
import { createRequire } from 'node:module';
import { dirname } from 'node:path';
import { fileURLToPath } from 'node:url';
import { Script } from 'node:vm';

const filename = fileURLToPath(import.meta.url).replace(/\.js$/, '.cjs');

function kept() {
  try {
    return readFileSync(filename.replace(/\.cjs$/, '.v8'));
  } catch {
    return undefined;
  }
}

const script = new Script(readFileSync(filename, 'utf8'), { filename, cachedData: kept() });
const module = { exports: {} };
script.runInThisContext()(module.exports, createRequire(filename), module, filename, dirname(filename));

/** What V8 has made of the program up to now. */
export const compiled = () => script.createCachedData();
/** Whether what was kept fits this Node; undefined where nothing was. */
export const refused = script.cachedDataRejected;
