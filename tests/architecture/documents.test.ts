/** What README and docs promise: links and their places, commands and options, words of the page, messages of the programs. */
import { execFileSync } from 'node:child_process';
import { readFileSync } from 'node:fs';
import { dirname, join, relative, resolve } from 'node:path';
import { describe, expect, test } from 'vitest';

const root = resolve(import.meta.dirname, '../..');
const tracked = execFileSync('git', ['ls-files', '-z', '--cached', '--others', '--exclude-standard'], {
  cwd: root,
})
  .toString()
  .split('\0')
  .filter(Boolean);
const read = (file: string): string => readFileSync(join(root, file), 'utf8');
const documents = tracked.filter(file => file.endsWith('.md'));
const withoutCode = (text: string): string => text.replaceAll(/^ *```.*?^ *```$/gms, '');
const codeOf = (text: string): string[] =>
  [...text.matchAll(/^ *```\n(.*?)^ *```$/gms)].flatMap(match => match[1]!.split('\n'));

/** As GitHub names headings: small letters, without punctuation, a hyphen for a space. */
const anchorsOf = (file: string): string[] =>
  [...withoutCode(read(file)).matchAll(/^#{1,6} (.+)$/gm)].map(([, heading]) =>
    heading!
      .replaceAll(/\[([^\]]+)\]\([^)]*\)/g, '$1')
      .toLowerCase()
      .replaceAll(/[^\p{L}\p{N}\s_-]/gu, '')
      .trim()
      .replaceAll(/\s/g, '-'),
  );

describe('links between the documents', () => {
  const links = documents.flatMap(file =>
    [...withoutCode(read(file)).matchAll(/\]\((?!https?:|mailto:)([^)\s]+)\)/g)].map(match => {
      const [path = '', anchor] = match[1]!.split('#');
      return {
        ...{ file, link: match[1]!, anchor },
        target: path === '' ? file : relative(root, resolve(root, dirname(file), path)),
      };
    }),
  );

  test('lead to a file or folder', () => {
    expect(links.length).toBeGreaterThan(100);
    const broken = links.filter(
      ({ target }) => !tracked.includes(target) && !tracked.some(other => other.startsWith(`${target}/`)),
    );
    expect(broken.map(({ file, link }) => `${file} → ${link}`)).toEqual([]);
  });

  test('with # lead to a heading', () => {
    const broken = links.filter(
      ({ target, anchor }) =>
        anchor !== undefined && target.endsWith('.md') && !anchorsOf(target).includes(anchor),
    );
    expect(broken.map(({ file, link }) => `${file} → ${link}`)).toEqual([]);
  });

  test('every document is reached from README.md', () => {
    const reached = new Set(['README.md']);
    for (const file of reached) {
      for (const link of links)
        if (link.file === file && link.target.endsWith('.md')) reached.add(link.target);
    }
    expect(documents.filter(file => !file.startsWith('tests/') && !reached.has(file))).toEqual([]);
  });
});

describe('commands', () => {
  const { scripts, bin } = JSON.parse(read('package.json')) as {
    scripts: Record<string, string>;
    bin: Record<string, string>;
  };
  const ROOM: Record<string, string> = {
    'girthlog-edge': 'edge/',
    'girthlog-dashboard': 'dashboard/server/',
    'girthlog-simulator': 'simulator/',
  };
  /** Subcommands and long options that the sources of a program name. */
  const known = Object.fromEntries(
    Object.entries(ROOM).map(([program, room]) => {
      const text = tracked
        .filter(file => file.startsWith(room) && file.endsWith('.ts'))
        .map(read)
        .join('\n');
      const commands = [...text.matchAll(/(?:command\(|name: )'([a-z-]+)/g)].map(match => match[1]!);
      const options = [...text.matchAll(/--([a-z][a-z-]*)/g)].map(match => match[1]!);
      return [program, { commands: new Set(commands), options: new Set([...options, 'help', 'version']) }];
    }),
  );

  test('the README begins with the two', () => {
    expect(read('README.md')).toContain('npm ci && npm start');
    expect(read('README.md')).toContain('npm ci && npm test');
  });

  test('npm run, npx and the programs exist', () => {
    const named = documents.flatMap(file =>
      [...read(file).matchAll(/npm run ([a-z][a-z:]*)/g)].map(match => [file, match[1]!] as const),
    );
    expect(named.length).toBeGreaterThan(10);
    expect(named.filter(([, name]) => !(name in scripts))).toEqual([]);
    const programs = documents.flatMap(file =>
      [...read(file).matchAll(/npx (girthlog-[a-z]+)/g)].map(match => [file, match[1]!] as const),
    );
    expect(programs.filter(([, name]) => !(name in bin))).toEqual([]);
  });

  const lines = documents.flatMap(file =>
    codeOf(read(file)).flatMap(line => {
      const [, program, rest] =
        /^\s*(?:sudo (?:-u \S+ )?)?(?:npx )?(girthlog-(?:edge|dashboard|simulator))((?: .*)?)$/.exec(line) ??
        [];
      return program === undefined
        ? []
        : [{ file, line, program, rest: rest!.replace(/ {2,}.*| [#;|].*/, '') }];
    }),
  );

  test('each command of a program is one it has', () => {
    expect(lines.length).toBeGreaterThan(40);
    const wrong = lines.filter(({ program, rest }) => {
      const [, command] = /^ ([a-z][a-z-]*)/.exec(rest) ?? [];
      return command !== undefined && !known[program]!.commands.has(command);
    });
    expect(wrong.map(({ file, line }) => `${file}: ${line}`)).toEqual([]);
  });

  test('each option stands in the sources of its program', () => {
    const wrong = lines.filter(({ program, rest }) =>
      [...rest.matchAll(/ --([a-z][a-z-]*)/g)].some(match => !known[program]!.options.has(match[1]!)),
    );
    expect(wrong.map(({ file, line }) => `${file}: ${line}`)).toEqual([]);
  });
});

/** Whether the pieces of `quoted`, parted by …, stand in this order in one line of the sources. */
function isSaid(quoted: string, sources: readonly string[]): boolean {
  const pieces = quoted
    .split('…')
    .map(piece => piece.trim())
    .filter(piece => piece !== '');
  const pattern = new RegExp(
    pieces.map(piece => piece.replaceAll(/[.*+?^${}()|[\]\\]/g, '\\$&')).join('.{0,120}?'),
  );
  return pieces.length > 0 && sources.some(text => pattern.test(text));
}

describe('what the documents quote', () => {
  const programs = tracked.filter(file => /^(?:shared-core|edge|dashboard|simulator)\/.*\.tsx?$/.test(file));
  const page = programs.filter(file => /^dashboard\/web\/text\/en/.test(file)).map(read);

  test.each(['docs/for-qa.md', 'docs/for-reviewers.md', 'docs/for-trainers.md', 'docs/first-rig.md'])(
    '%s: words in bold stand on the page',
    file => {
      const bold = [...withoutCode(read(file)).matchAll(/\*\*([^*]+)\*\*/g)].map(match => match[1]!);
      expect(bold.length).toBeGreaterThan(5);
      expect(bold.filter(words => !NOT_OF_THE_PAGE.includes(words) && !isSaid(words, page))).toEqual([]);
    },
  );

  test('docs/troubleshooting.md: messages in “ ” are those of the programs', () => {
    const quoted = [...read('docs/troubleshooting.md').matchAll(/“([^”]+)”/g)].map(match => match[1]!);
    expect(quoted.length).toBeGreaterThan(30);
    const sources = programs.filter(file => !/^dashboard\/web\/text\/es/.test(file)).map(read);
    expect(quoted.filter(words => !isSaid(words, sources))).toEqual([]);
  });
});

/** Said with weight, by the documents themselves. */
const NOT_OF_THE_PAGE = ['bold', 'not a procedure'];
