/** `setup-code`: a code that makes an administrator, beside a dashboard that may be running. */
import { existsSync } from 'node:fs';
import { join } from 'node:path';
import type { Command } from 'commander';
import { EXIT, ProgramError } from '#core/program/program-error';
import { codeHash, newCode } from '../auth/one-time-code.ts';
import { loadConfig } from '../load-config.ts';
import { AccountTable } from '../store/account-table.ts';
import { AuditTable } from '../store/audit-table.ts';

const MINUTES = 15;

/** Listening everywhere is no address that a browser takes; the console is on this computer. */
const EVERYWHERE = /(?<=^https?:\/\/)(?:0\.0\.0\.0|\[::\])(?=[:/]|$)/;

/** What a person at the console reads. */
export function setUpSentence(code: string, page: string | null): string {
  const where = page === null ? 'the page of the dashboard' : page.replace(EVERYWHERE, '127.0.0.1');
  return (
    `Set-up code ${code} : open ${where}/#/set-up within ${MINUTES} minutes and make the administrator with it. ` +
    'It is good once; "girthlog-dashboard setup-code" makes another.\n'
  );
}

export function addSetUpCodeCommand(program: Command): void {
  program
    .command('setup-code')
    .description('print a code that makes an administrator: the first one, or another where all are lost')
    .option('--data <directory>', 'directory of the store (girthlog-data/dashboard)')
    .option('--config <file>', 'TOML file that names the directory')
    .action(printCode);
}

async function printCode(flags: { readonly data?: string; readonly config?: string }): Promise<void> {
  const { settings } = await loadConfig({ data: flags.data }, flags.config);
  const file = join(settings.data, 'dashboard.sqlite3');
  if (!existsSync(file)) {
    throw new ProgramError(
      `There is no store in ${settings.data}: start the dashboard once, or name its directory with --data.`,
      EXIT.nothingFound,
    );
  }
  const { openBeside } = await import('../store/open-beside.ts');
  const { db, sql } = await openBeside(file);
  try {
    const code = newCode();
    const at = new Date();
    db.transaction(() => {
      const endsAt = new Date(at.getTime() + MINUTES * 60_000).toISOString();
      new AccountTable(sql).addCode(
        codeHash(code),
        { purpose: 'setUp', personId: null, endsAt },
        at.toISOString(),
      );
      const nobody = { person: null, address: null, detail: 'by the command setup-code' };
      new AuditTable(sql, work => db.transaction(work)()).add({
        ...nobody,
        at: at.toISOString(),
        what: 'setUpCodeMade',
        by: 'console',
      });
    })();
    process.stdout.write(setUpSentence(code, null));
  } finally {
    db.close();
  }
}
