/** The whole store checked by a process of its own, a page at a time: screens and records do not wait. */
import { spawn } from 'node:child_process';
import { fileURLToPath } from 'node:url';
import { type VerifyReport, verifyReportSchema } from '#core/messages/api-verify';
import { EXIT } from '#core/program/program-error';
import { parseJson } from '../ingest/decode.ts';

/**
 * A check of the store in `data`; `program` is the built girthlog-dashboard, beside the bundle unless said otherwise.
 * Whoever asks while one is at work gets its answer. Rejects with the sentence the program ended with.
 */
export function wholeCheck(data: string, program?: URL): () => Promise<VerifyReport> {
  const file = fileURLToPath(program ?? new URL('./girthlog-dashboard.js', import.meta.url));
  let running: Promise<VerifyReport> | null = null;
  return () => {
    running ??= check(file, data).finally(() => {
      running = null;
    });
    return running;
  };
}

function check(program: string, data: string): Promise<VerifyReport> {
  return new Promise((resolve, reject) => {
    const args = [program, 'verify', '--data', data, '--json'];
    const child = spawn(process.execPath, args, { stdio: ['ignore', 'pipe', 'pipe'] });
    let answer = '';
    let said = '';
    child.stdout.setEncoding('utf8').on('data', (text: string) => {
      answer += text;
    });
    child.stderr.setEncoding('utf8').on('data', (text: string) => {
      said = (said + text).slice(-2000);
    });
    child.once('error', reject);
    child.once('close', (code, signal) => {
      // A store that cannot be read ends with EXIT.integrity too, and with a sentence in place of a report.
      const report = verifyReportSchema.safeParse(parseJson(answer));
      if (report.success && (code === EXIT.ok || code === EXIT.integrity)) {
        resolve(report.data);
        return;
      }
      const last = said.trim().split('\n').at(-1) ?? '';
      reject(new Error(last === '' ? `it ended with ${code ?? signal}` : last));
    });
  });
}
