import { describe, expect, it } from 'vitest';
import { checkPassword } from '../../../api/modules/access/password-rules.ts';
import { createArgon2Hasher } from '../../../api/security/argon2-hasher.ts';

const accepts = (password: string, about: string[] = []) => {
  checkPassword(password, about, '/password');
  return true;
};

describe('passwords', () => {
  it('are long rather than mixed: twelve to 128 characters, none of them prescribed', () => {
    expect(accepts('kettle on the')).toBe(true);
    expect(accepts('ÅÅ ça va bien là')).toBe(true);
    expect(() => accepts('kettle on t')).toThrow(/at least 12/);
    expect(accepts(`kettle on the hob ${'and lid '.repeat(13)}`)).toBe(true);
    expect(() => accepts(`kettle on the hob ${'and lid '.repeat(14)}`)).toThrow(/at most 128/);
  });

  it('are not runs, repetitions or the name of the person', () => {
    expect(() => accepts('qwertyuiopas')).toThrow(/run/);
    expect(() => accepts('987654321098')).toThrow(/run/);
    expect(() => accepts('abcabcabcabc')).toThrow(/repetition/);
    expect(() => accepts('lena.fischer1', ['lena.fischer@lakes.example'])).toThrow(/own name/);
    expect(() => accepts('password1234!')).toThrow(/password/);
    expect(accepts('lena bakes on the lake', ['lena@lakes.example'])).toBe(true);
  });
});

describe('the password hasher', () => {
  const hasher = createArgon2Hasher();

  it('agrees with the Argon2 reference implementation', async () => {
    // phc-winner-argon2, src/test.c, "Test Argon2id": password "password", salt "somesalt",
    // t=2, m=2^16, p=1 (from memory; a wrong memory would not verify).
    const reference =
      '$argon2id$v=19$m=65536,t=2,p=1$c29tZXNhbHQ$CTFhFdXPJO1aFaMaO6Mm5c8y7cJHAph8ArZWb2GRPPc';
    expect(await hasher.verify(reference, 'password')).toBe(true);
    expect(await hasher.verify(reference, 'passwore')).toBe(false);
    expect(hasher.isCurrent(reference)).toBe(false);
  });

  it('salts, verifies its own hashes and takes composed and decomposed letters as one', async () => {
    const one = await hasher.hash('crème à la main');
    expect(one).not.toBe(await hasher.hash('crème à la main'));
    expect(hasher.isCurrent(one)).toBe(true);
    expect(await hasher.verify(one, 'crème à la main'.normalize('NFD'))).toBe(true);
    expect(await hasher.verify(one, 'creme a la main')).toBe(false);
    expect(await hasher.verify('not a hash', 'x')).toBe(false);
  });
});
