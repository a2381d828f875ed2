/** What everybody tries first (OWASP ASVS 5.0, 6.2.4: passwords that are known to be common are refused; from memory). */
import { describe, expect, it } from 'vitest';
import { isCommonPassphrase } from '../../../dashboard/server/auth/common-passphrase.ts';

describe('a passphrase', () => {
  it.each([
    'password',
    'Password1',
    'P@ssw0rd!',
    'passwort2026',
    'contraseña',
    '12345678',
    '87654321',
    '20260512',
    'qwertyui',
    'QWERTZ123',
    '1q2w3e4r5t',
    'aaaaaaaa',
    'abcabcabc',
    'welder123',
    'WeldSetter2026!',
    'girthlog1',
    'letmein99',
    'welcome-admin',
    'Summer2026',
    'keeper2026',
    'A. Keeper 1',
  ])('that everybody tries is refused: %s', passphrase => {
    expect(isCommonPassphrase(passphrase, ['A. Keeper', 'keeper'])).toBe(true);
  });

  it.each([
    'seven grey herons wade',
    'correct pony battery',
    'kestrel-17-lemon',
    'mjölnir im heuschober',
    'el burro toca la flauta',
    'x9!kQ2#vLp',
    'weld the moon to the barn',
    '4917 2265 0183 7742 99',
  ])('of several words, or by chance, is not: %s', passphrase => {
    expect(isCommonPassphrase(passphrase, ['A. Keeper', 'keeper'])).toBe(false);
  });
});
