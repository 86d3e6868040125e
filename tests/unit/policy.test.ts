import { describe, expect, test } from 'vitest';
import { PAGE_POLICY, policyFor } from '../../workers/policy-plugin.ts';

/** Directives of a policy (W3C Content Security Policy Level 3, § 2.2). */
const directives = (policy: string) =>
  new Map(policy.split('; ').map((rule) => [rule.split(' ')[0], rule.split(' ').slice(1)]));

describe('content security policies', () => {
  test('the page runs nothing from elsewhere and makes no code from strings', () => {
    for (const policy of [PAGE_POLICY, policyFor('/'), policyFor('/assets/index-abc.js')]) {
      expect(policy).not.toMatch(/unsafe|\*|https?:/);
      expect(directives(policy).get('default-src')).toEqual(["'none'"]);
      expect(directives(policy).get('script-src')).toEqual(["'self'"]);
    }
    expect(directives(policyFor('/')).get('frame-ancestors')).toEqual(["'none'"]);
  });

  test('only the responses of the workers that own an OpenCV or a LibRaw may', () => {
    expect(policyFor('/assets/bench.worker-Dq3_x-1.js')).toContain("'unsafe-eval'");
    expect(policyFor('/assets/reading.worker-Dq3_x-1.js')).toContain("'unsafe-eval'");
    expect(policyFor('/assets/photo.worker-Dq3_x-1.js')).toContain("'unsafe-eval'");
    for (const path of [
      '/assets/paint.worker-abc.js',
      '/assets/demo.worker-abc.js',
      '/assets/opencv-abc.js',
      '/assets/raw-abc.js',
      '/assets/bench.worker-abc.js.map',
      '/bench.worker-abc.js/index.html',
    ]) {
      expect(policyFor(path)).not.toContain('unsafe');
    }
  });
});
