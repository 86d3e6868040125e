// The one-way rule of the house: colour ← reading, paint ← job ← store; workers on the core only;
// link knows worker types only; ui never reaches a worker.
const only = (name, from, allowed) => ({
  name,
  severity: 'error',
  from: { path: from },
  to: { path: '^(src|workers|calibration-samples|tests)/', pathNot: allowed },
});
module.exports = {
  forbidden: [
    { name: 'no-circular', severity: 'error', from: {}, to: { circular: true } },
    only('colour-stands-alone', '^src/colour/', '^src/colour/'),
    only('reading-on-colour', '^src/reading/', '^src/(colour|reading)/'),
    only('photo-on-reading', '^src/photo/', '^src/(colour|reading|photo)/'),
    only('paint-on-colour', '^src/paint/', '^src/(colour|paint)/'),
    only('job-on-core', '^src/job/', '^src/(colour|reading|paint|job)/'),
    only('store-on-job', '^src/store/', '^src/(colour|reading|paint|job|store)/'),
    // The demo bench is a feed like a camera's; its worker, like every worker, is started by link.
    only('camera', '^src/camera/', '^src/(colour|reading|photo|paint|link|camera)/'),
    only(
      'link-on-worker-types',
      '^src/link/',
      '^(src/(colour|reading|photo|paint|link)/|workers/)',
    ),
    {
      name: 'link-imports-worker-types-only',
      comment: 'a worker is reached by new Worker(new URL(…)), never by importing its code',
      severity: 'error',
      from: { path: '^src/link/' },
      to: { path: '^workers/', dependencyTypesNot: ['type-only'] },
    },
    only('ui', '^src/ui/', '^src/(colour|reading|photo|paint|job|store|camera|link|ui)/'),
    only('headless-on-core', '^src/headless/', '^src/(colour|reading|photo|paint|headless)/'),
    only(
      'workers-on-core',
      '^workers/(?!demo\\.)',
      '^(src/(colour|reading|photo|paint)/|workers/)',
    ),
    {
      name: 'demo-worker-on-renderer',
      comment:
        'the demo bench is a rendered scene; it knows no estimator, only the types it answers in',
      severity: 'error',
      from: { path: '^workers/demo\\.' },
      to: { path: '^src/', dependencyTypesNot: ['type-only'] },
    },
    {
      name: 'generator-shares-only-observers',
      comment: 'generator and estimator share no model: only the observer and illuminant tables',
      severity: 'error',
      from: { path: '^calibration-samples/render/' },
      to: { path: '^(src|workers)/', pathNot: '^src/colour/(observers|illuminants|grid)\\.ts$' },
    },
    {
      name: 'core-has-no-io',
      severity: 'error',
      from: { path: '^src/(colour|reading|photo|paint|job)/' },
      to: { dependencyTypes: ['core'] },
    },
  ],
  options: {
    doNotFollow: { path: 'node_modules' },
    tsPreCompilationDeps: true,
    enhancedResolveOptions: { extensions: ['.ts', '.js'] },
  },
};
