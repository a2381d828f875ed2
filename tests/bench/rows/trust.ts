import { existsSync, readFileSync, writeFileSync } from 'node:fs';
import { join } from 'node:path';
import { exampleProcedure } from '../../support/simulated-pass.ts';
import { measureTrust } from '../../support/trust/measure-trust.ts';
import { AMOUNTS } from '../../support/trust/trust-plan.ts';
import type { Benchmark } from '../harness/figure.ts';
import { trustDocument } from '../trust/trust-document.ts';
import { detections, TRUST_ID, trustFigures } from '../trust/trust-figures.ts';
import { WorkerPool } from '../trust/worker-pool.ts';

export const trust: Benchmark = {
  id: TRUST_ID,
  title: 'what the calls are worth',
  fullOnly: true,
  how: 'Simulated passes with what good ones vary by and each fault of the simulator at three severities, through the engine with a baseline learned from good passes, on worker threads. Writes [trust.md](trust.md), where all of it stands with its intervals. Counts only; no baseline.',
  run: async ({ dist, baselines, full }) => {
    const root = join(baselines, '../../..');
    const started = performance.now();
    const pool = new WorkerPool(join(dist, 'bench.js'), exampleProcedure(root), (done, of) => {
      if (process.stderr.isTTY) process.stderr.write(`\r${TRUST_ID} ${done} of ${of}   `);
    });
    try {
      const measured = await measureTrust(full ? AMOUNTS.full : AMOUNTS.usual, pool);
      const figures = trustFigures(measured);
      const facts = {
        date: new Date().toISOString().slice(0, 10),
        node: process.version,
        seconds: (performance.now() - started) / 1000,
      };
      const document = join(root, 'docs/trust.md');
      const text = trustDocument(facts, measured, figures, detections(measured));
      if (!existsSync(document) || readFileSync(document, 'utf8') !== text) writeFileSync(document, text);
      process.stderr.write(`written: ${document}\n`);
      return figures;
    } finally {
      await pool.close();
    }
  },
};
