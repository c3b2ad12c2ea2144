% Sun, lamp light and long wave in the stack of layers: floor, lower and upper leaves, two cloths, cover.
%
% s = stack (p, cloth, drawn, film, elevation)
%   cloth      share of each drive that is spread out (package taken off), drawn: share of the floor it covers
%   film       water on the cloths and the cover [kg/m2]
%   elevation  of the sun [rad]
%   s.beam, s.diffuse, s.lamp   absorbed by the six layers, per W/m2 of beam and diffuse sun below the cover and per
%                               W/m2 of lamp power
%   s.exchange                  factors between floor, lower pipes, lower leaves, upper pipes, upper leaves, cloths,
%                               cover and sky, by the difference of black emissions
%   s.hot                       absorbed by the same, per W/m2 that hot lamps radiate
%
% Light by the adding method in two bands, long wave by recursion over the gaps: lib/house/shortwave.c and longwave.c.

function s = stack (p, cloth, drawn, film, elevation)
  absorbed = zeros (6, 3);
  share = [0.48 0.52];                                   % of the sun: light, near infrared
  lamp = [p.lamp.light_share p.lamp.nir_share];
  up = p.lamp.upward_share;
  for band = 1:2
    l = light_layers (p, cloth, drawn, elevation, band);
    down = zeros (5, 3);  rise = zeros (5, 3);           % sources in the gaps: beam, diffuse, lamps over the crop
    taken = zeros (6, 3);
    down(5,2) = 1;  down(3,3) = 1 - up;  rise(3,3) = up;
    beam = 1;
    for i = 5:-1:1
      taken(i,1) = (1 - l.beam_reflect(i) - l.beam_pass(i) - l.scatter(i)) * beam;
      rise(i,1) += l.beam_reflect(i) * beam;
      if i > 1
        down(i-1,1) += l.scatter(i) * beam;
      end
      beam *= l.beam_pass(i);
    end
    taken += adding (l.up, l.down, l.pass, down, rise);
    absorbed += taken .* [share(band) share(band) lamp(band)];
  end
  s.beam = absorbed(:,1);  s.diffuse = absorbed(:,2);  s.lamp = absorbed(:,3);

  % long wave; a wet face has the emissivity of water and lets nothing through
  wet = film ./ (film + 0.01);
  c = p.house.cloth;
  passes = [c.passes_water]';
  e_up = [c.emissivity_up]' + passes .* wet(1:2) .* (0.95 - [c.emissivity_up]');
  e_down = [c.emissivity_down]' + wet(1:2) .* (0.95 - [c.emissivity_down]');
  through = [c.longwave_transmittance]' .* (1 - wet(1:2));
  v = p.house.cover;
  f = p.leaf_cover;  g = min (0.5 * p.pipe_area, 0.9);   % share of the plane that leaves and pipes fill
  e = p.house.crop.leaf_emissivity;  q = [p.house.pipe.emissivity]';
  emit_up = [p.house.floor_emissivity; g(1)*q(1); f(1)*e; g(2)*q(2); f(2)*e; drawn .* e_up; v.emissivity_outside; 0];
  emit_down = [0; emit_up(2:5); drawn .* e_down; v.emissivity_inside + wet(3) * (0.95 - v.emissivity_inside); 1];
  pass = [0; 1-g(1); 1-f(1); 1-g(2); 1-f(2); 1 - drawn + drawn .* through; ...
          v.longwave_transmittance * (1 - wet(3)); 0];
  s.exchange = exchange_factors (emit_up, emit_down, pass);
  down = zeros (8, 1);  down(5) = 0.5;                   % hot lamps radiate from the gap over the crop
  s.hot = adding (1 - emit_up - pass, 1 - emit_down - pass, pass, down, down)(1:8);
end

function l = light_layers (p, cloth, drawn, elevation, band)
  crop = p.house.crop;  c = p.house.cloth;
  kb = 0.5 / sqrt (sin (max (elevation, 0.05))^2 + 0.03^2);
  if band == 1
    r = crop.leaf_light_reflectance;  t = crop.leaf_light_transmittance;
    full = [[c.light_reflectance_up]' [c.light_reflectance_down]' [c.light_transmittance]'];
  else
    r = crop.leaf_nir_reflectance;  t = crop.leaf_nir_transmittance;
    full = [[c.nir_reflectance_up]' [c.nir_reflectance_down]' [c.nir_transmittance]'];
  end
  [lr, lt, lbr, lbp, ls] = leaves (p.leaf, kb, crop.extinction_diffuse, r, t);
  parked = [c.parked_share]' .* (1 - cloth);
  open = max (1 - drawn - parked, 0);
  there = drawn + parked;
  ground = p.house.floor_reflectance;  cover = p.house.cover_diffuse;
  l.up = [ground; lr; there .* full(:,1); 0];
  l.down = [0; lr; there .* full(:,2); cover(1)];
  l.pass = [0; lt; open + drawn .* full(:,3); cover(2)];
  l.beam_reflect = [ground; lbr; there .* full(:,1)];
  l.beam_pass = [0; lbp; open];
  l.scatter = [0; ls; drawn .* full(:,3)];
end

% Two layers of leaves: beam taken away by black-leaf extinction, what leaves return and pass on as two diffuse streams.
function [reflect, pass, beam_reflect, beam_pass, scatter] = leaves (lai, kb, k, r, t)
  a = k * (1 - t);  c = k * r;
  d2 = (a - c) * (a + c);  d = sqrt (d2);
  if abs (kb^2 - d2) < 1e-5 * d2
    kb = sqrt (d2 * (1 + 1e-5));
  end
  s = -expm1 (-2*d*lai) / (2*d);
  w = 0.5 * (1 + exp (-2*d*lai)) + a * s;
  reflect = c * s ./ w;  pass = exp (-d*lai) ./ w;
  P = (t*kb*(a + kb) + c*r*kb) / (d2 - kb^2);
  Q = (r*kb*(a - kb) + c*t*kb) / (d2 - kb^2);
  beam_pass = exp (-kb*lai);
  beam_reflect = Q - reflect*P - pass.*Q.*beam_pass;
  scatter = P*beam_pass - pass*P - reflect.*Q.*beam_pass;
end

% Diffuse light for sources in the gaps, a column each: what every layer absorbs.
function absorbed = adding (up, down, pass, falling, rising)
  n = numel (up);
  R = zeros (n-1, 1);  E = zeros (n-1, columns (falling));  m = zeros (n, 1);
  R(1) = up(1);  E(1,:) = rising(1,:);
  for g = 2:n-1
    m(g) = 1 / (1 - R(g-1) * down(g));
    R(g) = up(g) + pass(g)^2 * R(g-1) * m(g);
    E(g,:) = pass(g) * (R(g-1) * falling(g-1,:) + E(g-1,:)) * m(g) + rising(g,:);
  end
  m(n) = 1 / (1 - R(n-1) * down(n));
  absorbed = zeros (n, columns (falling));
  above = 0;
  for g = n-1:-1:1
    D = (pass(g+1) * above + down(g+1) * E(g,:) + falling(g,:)) * m(g+1);
    U = R(g) * D + E(g,:);
    absorbed(g+1,:) += (1 - down(g+1) - pass(g+1)) * U;
    absorbed(g,:) += (1 - up(g) - pass(g)) * D;
    above = D;
  end
end

function F = exchange_factors (emit_up, emit_down, t)
  n = numel (t);
  F = zeros (n);
  above = zeros (n, 1);  take = zeros (n, 1);  on = zeros (n, 1);
  for g = n:-1:2
    on(g) = t(g) / max (1 - above(g) * (1 - emit_up(g) - t(g)), realmin);
    take(g) = emit_down(g) + on(g) * above(g) * emit_up(g);
    above(g-1) = 1 - emit_down(g) - t(g) + on(g) * t(g) * above(g);
  end
  below = 0;
  for i = 1:n
    up = t(i) / max (1 - below * (1 - emit_down(i) - t(i)), realmin);
    give = emit_up(i) + up * below * emit_down(i);
    below = 1 - emit_up(i) - t(i) + up * t(i) * below;
    give /= max (1 - below * above(i), realmin);
    for j = i+1:n
      F(i,j) = F(j,i) = give * take(j);
      give *= on(j);
    end
  end
end
