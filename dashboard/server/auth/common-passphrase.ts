/**
 * Passphrases that everybody tries first. The list is our own, compiled from patterns: rows of the keyboard, runs and
 * repetitions, words of welcome and of the trade in English, Spanish and German, each with the usual figures and signs
 * around it and the usual figures for letters. No list of leaked passphrases was taken from anywhere.
 */

const WORDS =
  `password passwort passphrase contrasena clave welcome willkommen bienvenido hello hola hallo letmein
  open access login signin admin administrator root user guest test testing demo default system service secret geheim
  secreto changeme change superuser master manager operator supervisor inspector reviewer trainer trainee viewer
  girthlog girth weld welder welding weldsetter weldlog pipeline pipe joint truck rig spread logger monitor
  soldador soldadura soldar tuberia schweisser schweissen summer winter spring autumn sommer verano invierno
  monday friday january december love iloveyou teamo ichliebedich family familia mother mama papa baby princess
  dragon monkey football futbol fussball baseball soccer hockey superman batman sunshine shadow freedom whatever
  trustno computer internet samsung charlie michael daniel jordan thomas george andrew joshua jessica ashley amanda
  nicole michelle robert london madrid berlin qwerty qwertz azerty asdfgh yxcvbn zxcvbn qwertyuiop qwertzuiop
  asdfghjkl zxcvbnm qazwsx qazwsxedc wsxedc abc abcd abcde abcdef abcdefg abcdefgh aaaa pass word mypassword thepassword
  nopassword newpassword yourpassword goodpassword correcthorsebatterystaple thisisapassword ihateyou letmeinnow`
    .split(/\s+/)
    .filter(word => word !== '');
const KNOWN = new Set(WORDS);

/** Walks along which people slide a finger; any part of one, either way. */
const WALKS = [
  '1234567890',
  '0123456789',
  'abcdefghijklmnopqrstuvwxyz',
  'qwertyuiop',
  'qwertzuiop',
  'asdfghjkl',
  'zxcvbnm',
  'yxcvbnm',
  '1qaz2wsx3edc4rfv5tgb6yhn7ujm',
  'q1w2e3r4t5y6u7i8o9p0',
  '1q2w3e4r5t6y7u8i9o0p',
].flatMap(walk => [walk + walk, [...(walk + walk)].reverse().join('')]);

const FIGURES_FOR: Readonly<Record<string, string>> = {
  '0': 'o',
  '1': 'i',
  '3': 'e',
  '4': 'a',
  '5': 's',
  '7': 't',
  '8': 'b',
  '@': 'a',
  $: 's',
  '!': 'i',
};

/** `own`: names of the person, which everybody knows. */
export function isCommonPassphrase(passphrase: string, own: readonly string[] = []): boolean {
  const plain = passphrase
    .normalize('NFKD')
    .replaceAll(/\p{M}/gu, '')
    .toLowerCase()
    .replaceAll(/[\s_-]/g, '');
  // Each part of a name, and all of it in one.
  const names = own
    .flatMap(name => [...name.toLowerCase().split(/[^\p{L}\p{N}]+/u), lettersOf(name.toLowerCase())])
    .filter(name => name.length > 2);
  const bare = plain.replaceAll(/[^\p{L}]+$/gu, '');
  return [plain, unfigured(plain), unfigured(bare)].some(text => text !== '' && isPattern(text, names));
}

function isPattern(text: string, names: readonly string[]): boolean {
  const core = text.replaceAll(/^[^\p{L}]+|[^\p{L}]+$/gu, '');
  if (core === '') return isFigures(text);
  if (KNOWN.has(core) || names.includes(lettersOf(core))) return true;
  if (isRepeated(text) || isRepeated(core) || WALKS.some(walk => walk.includes(text))) return true;
  if (core.length >= 3 && WALKS.some(walk => walk.includes(core))) return true;
  return isTwoWords(core, names);
}

/** Two of the words one after the other are no better than one. */
function isTwoWords(core: string, names: readonly string[]): boolean {
  for (let at = 3; at <= core.length - 3; at++) {
    const parts = [core.slice(0, at), core.slice(at)];
    if (parts.every(part => KNOWN.has(part) || names.includes(part))) return true;
  }
  return false;
}

/** Figures and signs alone: up to twelve of them are a date, a telephone number or a walk. */
const isFigures = (text: string): boolean =>
  text.length <= 12 || isRepeated(text) || WALKS.some(walk => walk.includes(text));

/** One short piece over and over. */
const isRepeated = (text: string): boolean => /^(.{1,4}?)\1+$/u.test(text);

const lettersOf = (text: string): string => text.replaceAll(/[^\p{L}]/gu, '');

const unfigured = (text: string): string => [...text].map(letter => FIGURES_FOR[letter] ?? letter).join('');
