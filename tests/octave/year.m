% A week of a glasshouse with two cloths in GNU Octave, as one would write it for a study: a vector of states, one
% function for their rates, ode15s with its own Jacobian, orders once an hour and the integration begun anew in each.
%
%   octave-cli --norc year.m CASE rates     rates at the states of the case, against those that stand there
%   octave-cli --norc year.m CASE days      the days; prints seconds of processor, steps, evaluations, heat of the pipes
%                                         here and in the case [J/m2], and how far the air is from it [K, RMS]
%
% CASE assigns house, weather, orders and states (case.h writes it). The equations are those of lib/year and of the
% rooms it calls, where formulas have their sources; only what this house has is here. Simpler than there:
%   - sun below the cover, in the cover and in the walls, and the soil's layers with their edge, are numbers of the case;
%   - orders hold for an hour and change as a step; crop and carbon dioxide stand still;
%   - saturation is that of Hyland and Wexler as it stands, with its kink at the triple point;
%   - a vent's opening stops at 0;
%   - no books: of all totals only the heat of the pipes is kept.
% Kinks are rounded as there, which is kind to the solver. Light and long wave are worked out anew when what they hang
% on has moved by 2e-4, as there.
%
% States: T of lower air, upper air, air over the first and the second cloth, two cloths, lower and upper leaves, lower
% and upper pipes, lamps, cover, walls, soil layers [degC]; humidity ratio of the four airs [kg/kg]; water on cloths,
% leaves, cover and walls [kg/m2 of floor]; positions of the slits, lee vents, wind vents, through-cloth fans; integral
% part of the heating [K]; heat given to the pipes [J/m2].

1;

function y = hinge (x, width)      % max (0, x), its corner rounded
  y = (min (max (x, -width), width) + width).^2 ./ (4 * width) + max (x - width, 0);
end

function y = ramp (x)              % 0 up to 0, 1 from 1 on, its first and last quarter rounded
  y = (hinge (x - 0.125, 0.125) - hinge (x - 0.875, 0.125)) / 0.75;
end

function y = turn (x, width)       % 0 for negative, 1 for positive x
  y = 0.5 * (1 + x ./ sqrt (x.^2 + width^2));
end

function y = at_most (x, most, width)
  y = x - hinge (x - most, width);
end

function e = saturation (T)        % Pa; Hyland and Wexler 1983
  K = T + 273.15;
  water = -5.8002206e3./K + 1.3914993 + K.*(-4.8640239e-2 + K.*(4.1764768e-5 - 1.4452093e-8*K)) + 6.5459673*log (K);
  ice = -5.6745359e3./K + 6.3925247 + K.*(-9.677843e-3 + K.*(6.2215701e-7 + K.*(2.0747825e-9 - 9.484024e-13*K))) ...
        + 4.1635019*log (K);
  cold = T < 0.01;
  water(cold) = ice(cold);
  e = exp (water);
end

function v = opening_speed (width, T_below, T_above)   % through a slit, zero when stable
  drop = hinge (T_below - T_above, 0.3);
  v = sqrt (0.5 * 9.81 * width ./ (0.5 * (T_below + T_above) + 273.15)) .* drop .* (drop.^2 + 0.05^2).^-0.25;
end

function P = position_asked (law, T, H)                % rows: low, three of temperature, three of humidity, high
  warm = law(:,2) .* ramp ((T - law(:,3)) ./ max (law(:,4) - law(:,3), 1e-9));
  damp = law(:,5) .* ramp ((H - law(:,6)) ./ max (law(:,7) - law(:,6), 1e-9));
  P = 1 - (1 - law(:,1)) .* (1 - warm) .* (1 - damp);
  widest = 1 - (1 - law(:,1)) .* (1 - law(:,2)) .* (1 - law(:,5));
  corner = min (0.5 * (law(:,8) - law(:,1)), 0.02);
  for i = find (widest > law(:,8) + 1e-9 & corner > 0)'
    P(i) = at_most (P(i), law(i,8), corner(i));
  end
  fixed = law(:,8) <= law(:,1);
  P(fixed) = law(fixed,8);
end

% Numbers that hold through the days. Nodes: 1:4 airs, 5:6 cloths, 7:8 leaves, 9:10 pipes, 11 lamps, 12 cover,
% 13 walls, 14:n soil; then n+1 outside, n+2 sky, n+3 deep ground.
function p = numbers (house, site, soil, weather)
  p.house = house;  p.site = site;  p.lamp = house.lamp;
  n = p.n = 13 + numel (soil.capacity);
  p.density = 1.19 * site.pressure / 101325;
  tilt = house.roof_slope * pi / 180;
  floor_area = house.length * house.width;
  roof = house.gutter_height + 0.25 * house.span * tan (tilt);
  p.cover_area = 1 / cos (tilt);
  p.steepness = cos (tilt)^(1/3);
  p.wall_area = 2 * (house.width * roof + house.length * house.gutter_height) / floor_area;
  low = house.split_height / house.gutter_height;
  p.wall_part = [low; 1 - low];
  p.wall_reach = 1 / (1 + 8 * house.wall_cloth_resistance);
  p.leaf = house.crop.leaf_area * [house.crop.lower_share; 1 - house.crop.lower_share];
  p.leaf_cover = 1 - exp (-house.crop.extinction_longwave * p.leaf);
  p.leak_area = house.leakage * sqrt (8) / (0.6 * sqrt (house.pressure_span));
  p.crop_height = house.drive(1).height;
  p.house.cloth = house.cloth;

  height = diff ([0 house.split_height house.drive.height roof])';
  p.air = p.density * height;
  p.length = [house.pipe.length]';  p.diameter = [house.pipe.diameter]';
  inner = p.diameter - 2 * [house.pipe.wall]';
  p.pipe_area = pi * p.diameter .* p.length;
  pipe = p.length .* (pi/4 * (p.diameter.^2 - inner.^2) * 7850 * 470 + pi/4 * inner.^2 * 985 * 4180);
  p.lamp_body = p.lamp.power * (1 - p.lamp.light_share - p.lamp.nir_share - p.lamp.longwave_share);
  lamp_loss = p.lamp_body / 40;
  p.capacity = [p.air * 1006; [house.cloth.heat_capacity]'; ...
                house.crop.leaf_mass * 3800 * p.leaf; pipe; 600 * lamp_loss; ...
                house.cover.heat_capacity * p.cover_area; house.wall.heat_capacity * p.wall_area; soil.capacity'];
  p.capacity(1:2) += house.interior_capacity * height(1:2) / p.crop_height;
  p.latent = [2501e3 * ones(4,1); zeros(n-4,1)];
  p.heat = [1860 * ones(4,1); 4186 * ones(n-4,1)];

  % what flows by difference of temperature, from a to b: six level faces, walls, leaves, pipes; by a conductance lamps,
  % soil, slab edge; and the wind on cover and walls
  p.a = [14 2 5 3 6 4   1 2    7 8  9 10   11 14:n  14     12  13]';
  p.b = [1  5 3 6 4 12  13 13  1 2  1 2    2  15:n n+3 n+1 n+1 n+1]';
  p.conductance = [lamp_loss soil.between soil.edge]';
  p.D = ends (p.a, p.b, n);
  % airs that change places: to the neighbour, past the cloths, by fans, by vents and leaks
  p.from = [1 2 3 1 1 2  4   1   2]';
  p.to =   [2 3 4 3 4 4 n+1 n+1 n+1]';
  p.A = ends (p.from, p.to, n);
  % faces on which vapour settles, the node of each, and which film that is
  p.over = [2 3 3 4 1 2 4 1 2]';
  p.face = [5 5 6 6 7 8 12 13 13]';
  p.film = [1 1 2 2 3 4 5 6 6]';
  p.S = ends (p.over, p.face, n);
  p.spread = [1; 1; 2 * p.leaf; p.cover_area; p.wall_area];    % m2 under each film
  p.holds = [[house.cloth.water_capacity]'; 0.5 * house.crop.film_capacity * [1; 1]; ...
             house.cover.film_capacity; house.wall.film_capacity];
  p.edge = [house.drive.edge_gap]';  p.pitch = [house.drive.pitch]';  p.gap = [house.drive.gap_width]';
  p.flow = [house.fan.flow]' ./ [house.fan.area]';  p.power = [house.fan.power]' ./ [house.fan.area]';
  p.fan_low = [house.fan.lower_share];
  p.passes = [house.cloth.passes_water]';  p.thermal_flow = [house.cloth.thermal_flow]';
  p.thick = [house.cloth.thickness]';
  p.linear = 1.81e-5 * p.thick ./ [house.cloth.permeability]';
  p.square = p.density * [house.cloth.inertial_factor]' ./ sqrt ([house.cloth.permeability]') .* p.thick;
  p.circuit = [house.pipe.max_power; house.pipe.max_temperature]';
  p.speed = 1 ./ [house.drive.run_time house.vent_run_time([1 1]) house.fan(1).run_time]';

  % weather: cubics through instants, parabolas that keep the means of hours
  pp = pchip (weather.instants(:,1)', weather.instants(:,2:5)');
  p.instants.begin = pp.breaks(1);
  p.instants.coefs = permute (reshape (pp.coefs, 4, [], 4), [1 3 2]);
  p.means = keep_means (weather.means(:,1)', weather.means(:,2:6)');
end

function M = ends (a, b, n)
  k = 1:numel (a);
  M = zeros (n + 3, numel (a));
  M(sub2ind (size (M), a', k)) = -1;
  M(sub2ind (size (M), b', k)) = 1;
  M = M(1:n,:);
end

% Columns: of u^3, u^2, u and 1, with u the seconds since the beginning of the hour.
function c = keep_means (time, mean)
  left = mean(:,1:end-1);  right = mean(:,2:end);
  edge = min (0.5 * (left + right), 2 * min (left, right));    % shared by two hours; the parabola is nowhere negative
  a = edge(:,1:end-1);  b = edge(:,2:end);
  bow = 6 * (mean(:,2:end-1) - 0.5 * (a + b));
  c.begin = time(2);
  c.coefs = permute (cat (3, 0 * a, -bow / 3600^2, (b - a + bow) / 3600, a), [1 3 2]);
end

function v = curve (c, t)
  k = floor ((t - c.begin) / 3600);
  u = t - c.begin - 3600 * k;
  v = c.coefs(:,:,k+1) * [u^3; u^2; u; 1];
end

% Air along the house by the wind, and what the coldest end lacks per K between crop and roof air.
function [flow, lack] = along (p, drawn, vents, wind, conductance, fan_speed)
  house = p.house;
  leaks = p.leak_area + sum (house.vent_area * vent_share (p, vents));
  half = 0.25 * p.density * house.pressure_span * wind^2 + 1e-6;
  dp = half;
  for round = 1:3
    through = 2 * dp ./ (p.linear + sqrt (p.linear.^2 + 4 * p.square * dp)) / (0.6 * sqrt (2 * dp / p.density));
    open = 1 / sqrt (sum (1 ./ ((1 - drawn + drawn .* through).^2 + 1e-12)));
    dp = half * leaks^2 / (leaks^2 + open^2) + 1e-9;
  end
  flow = 0.6 * wind * sqrt (house.pressure_span / 8) * leaks * open / sqrt (leaks^2 + open^2);
  m = 2 * 1206 * flow;
  k = conductance + 2 * 1206 * (0.05 + fan_speed) * p.crop_height / house.length;
  r = m / (m + k);
  lack = m / k / (1 + 0.5 * r) * 0.5 * (1 - r);
end

function s = vent_share (p, opening)
  s = 2 * sin (0.5 * p.house.vent_angle * pi / 180 * max (opening, 0));
end

function r = stomata (p, light, T, e_air, e_leaf)
  crop = p.house.crop;
  warmth = @(T, c, T0) 1 + c * at_most ((T - T0).^2, 400, 100);
  I = hinge (light - 0.1, 0.1);
  day = ramp (I / 5);
  c1 = 0.54 * crop.resistance_night / (warmth (18, 0.005, 33.6) * crop.resistance_min);
  open = crop.resistance_min * (I + c1) ./ (I + 0.54);
  carbon = at_most (1 + day * 6.1e-7 * max (p.house.co2 - 200, 0)^2, 1.5, 0.1);
  night = warmth (T, 0.005, 33.6);
  warm = night + day .* (warmth (T, 0.023, 24.5) - night);
  D2 = (1e-3 * max (e_leaf - e_air, 0)).^2;
  night = 1 + at_most (5.2 * D2, 2.8, 0.4);
  dry = night + day .* (1 + at_most (4.3 * D2, 2.8, 0.4) - night);
  r = open .* carbon / crop.transpiration_factor .* warm .* dry;
end

% Heat to the two circuits and the rate of the integral part.
function [heat, d_integral] = heating (p, o, seen, lack, integral, T_pipe)
  off = (o.heating - (seen - o.coldest * lack)) / 3;
  err = 3 * off / sqrt (1 + off^2);
  raw = o.gain * err + integral;
  most = max (o.pipe_most - o.heating, 2);
  asked = at_most (hinge (raw, 1), most, 1);
  d_integral = o.gain * err / o.integral_time + (asked - raw) / 600;
  target = seen + asked;  on = ramp (asked);
  if o.pipe_least > 0
    target = o.pipe_least + hinge (target - o.pipe_least, 1);  on = 1;
  end
  start = max (o.upper_start * most, 1);
  rise = hinge (asked - start, 1);
  target = [target; seen + most / (most - start + 1) * rise];
  on = [on; ramp(rise)];
  power = p.circuit(:,1);
  most = min (power, p.house.boiler.max_power * power / sum (power));
  valve = p.capacity(9:10) / 120;
  want = hinge (valve .* (at_most (target, p.circuit(:,2), 1) - T_pipe), 1);
  heat = on .* at_most (hinge (want, 0.02 * most), most, 0.02 * most);
end

function [dy, calls] = rates (t, y, p, now)
  persistent kept = [] key = [] called = 0;
  calls = ++called;
  n = p.n;  house = p.house;
  T = y(1:n);  x = y(n+1:n+4);  film = y(n+5:n+10);  act = y(n+11:n+16);
  o = now.orders;

  % outside, airs, positions
  w = curve (p.instants, t);  sun = curve (p.means, t);
  wind = house.wind_factor * w(4);
  T = [T; w(1); (w(3) / 5.670374419e-8)^0.25 - 273.15; p.site.deep];
  x = [x; 0.621945 * w(2) / (p.site.pressure - w(2))];
  e = p.site.pressure * x ./ (0.621945 + x);
  motor = now.from + (now.to - now.from) .* ramp ((t - now.begin) ./ max (now.run, 1e-9));
  cloth = motor(1:2);  lamps = motor(3) * p.lamp.power;
  spread = cloth .* (1 - act(1:2));
  drawn = spread .* (1 - p.edge);
  touch = 0.1 + 0.9 * drawn;
  fan = max ([act(5); motor(4)], 0);
  blown = p.flow .* fan;
  fan_speed = 0.375 / (36.6 / 3600) * blown(2);
  seen = 0.5 * (T(1) + T(2));
  es = saturation ([T(p.face); seen]);
  humidity = 0.5 * (e(1) + e(2)) / es(end);

  % convection and conduction
  dT = T(p.a) - T(p.b);
  d = dT(1:6);
  up = 1.7 * [1 1 1 1 1 p.steepness]' .* (d.^2 + 0.05^2).^(1/6);
  down = 1.3 * (d.^2 + 0.05^2).^(1/8);
  level = down + turn (d, 0.2) .* (up - down);
  level(6) *= house.cover_convection;
  wall = 1.31 * (dT(7:8).^2 + 0.05^2).^(1/6);
  l = house.crop.leaf_width;
  grashof = 9.81 * l^3 * sqrt (dT(9:10).^2 + 0.05^2) ./ ((T(1:2) + 273.15) * 15.1e-6^2);
  reynolds = sqrt (0.1^2 + fan_speed^2) * l / 15.1e-6;
  leaf = 0.37 * (grashof + 6.92 * reynolds^2).^0.25 * 0.0257 / l;
  d = dT(11:12);
  pipe = 5.2 * (p.diameter .* (T(1:2) + 273.15)).^-0.25 .* p.pipe_area .* (d.^2 + 0.1^2).^0.125;
  blend = ramp (wind - 3.5);
  outside = (1 - blend) * (2.8 + 1.2 * max (wind, 0)) + blend * 2.5 * max (wind, 0)^0.8;
  G = [[1; touch([1 1 2 2]); p.cover_area] .* level; p.wall_area * p.wall_part * p.wall_reach .* wall; ...
       2 * p.leaf .* leaf; pipe; p.conductance; outside * p.cover_area; p.wall_area * (6 + max (wind, 0))];
  Q = p.D * (G .* dT);

  % light and long wave
  lying = max (film([1 2 5]), 0);
  moved = [drawn; cloth; 0.01 * lying ./ (lying + 0.01); now.elevation];
  if isempty (kept) || any (abs (moved - key) > p.step)
    kept = stack (p, spread, drawn, lying, now.elevation);
    key = moved;
  end
  light = sun(2) * kept.beam + sun(3) * kept.diffuse + lamps * kept.lamp;
  Q([14 7 8 5 6 12]) += light;
  Q(12) += sun(4);  Q(13) += sun(5);
  Q(4) += house.structure_shade * house.structure_heat * sun(1);
  black = 5.670374419e-8 * (T + 273.15).^4;
  layer = [14 9 7 10 8 5 6 12];
  b = black([layer n+2]);
  q = kept.exchange * b - sum (kept.exchange, 2) .* b;
  Q(layer) += q(1:8) + lamps * p.lamp.longwave_share * kept.hot;
  filled = -expm1 (-4 * p.leaf);
  q = house.wall.emissivity_inside * p.wall_area / 3 * p.wall_reach * ...
      [filled; 3 - sum(filled)] .* (black([7 8 14]) - black(13));
  Q([7 8 14]) -= q;
  Q(13) += sum (q) - house.wall.emissivity_outside * p.wall_area / 2 * sum (black(13) - black(n+1:n+2));

  % transpiration
  e_leaf = es(5:6);
  r = 1206 ./ leaf + stomata (p, light(2:3) ./ p.leaf, T(7:8), e(1:2), e_leaf);
  wetness = hinge (film(3:4) ./ (2 * p.leaf) - 0.001, 0.001);
  v = 2 * p.leaf ./ (1 + wetness / 0.01) ./ (461.524 * (T(1:2) + 273.15) .* r) .* hinge (e_leaf - e(1:2), 10);
  m = zeros (n, 1);
  m(1:2) = v;
  carried = v .* (2501e3 + 1860 * T(7:8));
  Q(1:2) += carried;
  Q(7:8) += 4186 * house.water_temperature * v - carried;

  % vapour on faces, and what runs off
  h = [level(2:5); leaf; level(6); p.wall_reach * wall];
  area = [touch(1); touch(1)*p.passes(1); touch(2); touch(2)*p.passes(2); p.spread(3:5); p.wall_area*p.wall_part];
  thick = film ./ p.spread;
  excess = e(p.over) - es(1:9);
  v = area .* h * 0.621945 / (p.site.pressure * 1006 * 0.921) .* ...
      (hinge (excess, 3) - ramp (thick(p.film) / 0.01) .* hinge (-excess, 3));
  m += p.S * v;
  Q += p.S * (v .* (2501e3 + 1860 * T(p.face)));
  gone = p.spread .* hinge (thick - p.holds, 0.1 * p.holds) / 600;
  m([5:8 12 13]) -= gone;
  Q([5:8 12 13]) -= gone * 4186 .* T([5:8 12 13]);

  % air
  below = T(2:3);  above = T(3:4);
  dT = below - above;
  fabric = drawn .* p.thermal_flow .* (dT.^2 + 0.05^2).^0.33 .* (0.1 + 0.9 * turn (dT, 0.3));
  open = max (1 - spread, 1e-9);
  slit = open .* opening_speed (open .* p.pitch, below, above) + 0.2 * ramp (2 * open - 1);
  falls = slit .* house.slit_fall_share .* (1 - open) .* [1; 1 - drawn(1)];
  gaps = p.edge .* opening_speed (p.gap, below, above);
  [wind_along, lack] = along (p, drawn, act(3:4), wind, level(1) + level(2) + pipe_slope (pipe, d), fan_speed);
  chord = vent_share (p, act(3:4));
  vent = 0.5 * house.vent_area * house.vent_discharge * chord .* ...
         sqrt (house.vent_flap * chord * 0.5 * 9.81 * sqrt ((T(4) - T(n+1))^2 + 0.02^2) / (T(n+1) + 273.15) + ...
               [house.vent_wind_lee; house.vent_wind_windward] * wind^2 + 1e-12);
  leak = house.leakage * sqrt (wind^2 + 0.000145/0.000319 * sqrt ((T([4 1 2]) - T(n+1)).^2 + 0.02^2) + 0.25^2);
  leak .*= [p.cover_area; p.wall_area * p.wall_part] / (p.wall_area + p.cover_area);
  mixing = 0.002 + 0.3 * opening_speed (1, T(1), T(2)) + blown(2);
  down = house.fan(1).lower_share * blown(1);
  g = p.density * [mixing; fabric + slit - falls + gaps; falls(1); falls(2) + wind_along + down; blown(1) - down; ...
                   sum(vent) + leak(1); leak(2:3)];
  at = [1:4 n+1];
  X(at,1) = x;  H(at,1) = 1006 * T(at) + x .* (2501e3 + 1860 * T(at));
  m += p.A * (g .* (X(p.from) - X(p.to)));
  Q += p.A * (g .* (H(p.from) - H(p.to)));

  % lamps, fans, heating, motors
  Q(11) += p.lamp_body / p.lamp.power * lamps;
  Q(1:2) += [p.fan_low; 1 - p.fan_low] * (p.power .* fan.^3);
  lack *= seen - T(4);
  [heat, d_integral] = heating (p, o, seen, lack, act(6), T(9:10));
  Q(9:10) += heat;
  off = (position_asked (o.laws, seen, humidity) - act(1:5)) / 0.1;

  W = zeros (n, 1);
  W(1:4) = x(1:4) .* p.air;  W([5:8 12 13]) = film;
  dT = (Q - m .* (p.latent + p.heat .* T(1:n))) ./ (p.capacity + W .* p.heat);
  dy = [dT; m(1:4) ./ p.air; m([5:8 12 13]); p.speed .* off ./ sqrt(1 + off.^2); d_integral; sum(heat)];
end

function s = pipe_slope (pipe, d)      % W/(m2 K) of both circuits, by the pipe's temperature
  s = sum (pipe .* (1 + 0.25 * d.^2 ./ (d.^2 + 0.1^2)));
end

function now = hour_of (p, orders, weather, hour, from)
  row = orders(hour+1,:);
  now.orders = struct ("heating", row(1), "coldest", row(2), "gain", row(3), "integral_time", row(4), ...
                       "upper_start", row(5), "pipe_least", row(6), "pipe_most", row(7), ...
                       "laws", reshape (row(12:51), 8, 5)');
  now.from = from(:);  now.to = row(8:11)';
  now.begin = 3600 * hour;
  now.run = abs (now.to - now.from) .* [p.house.drive.run_time p.lamp.run_time p.house.fan(2).run_time]';
  now.elevation = weather.means(find (weather.means(:,1) <= now.begin + 1, 1, "last"),7) * pi / 180;
end

% Heat and vapour by which rates are apart from those of the case, as shares of the largest flow, and speeds of positions
% by themselves. It is saturation at the triple point that keeps them apart (3e-4 of a flow; 1e-12 with the library's).
function ok = compare_rates (p, orders, weather, states)
  n = p.n;  k = n + 17;
  p.step = -1;                                   % nothing is kept
  worst = zeros (rows (states), 3);
  for i = 1:rows (states)
    row = states(i,:);
    y = row(6 + (1:k))';  theirs = row(6+k + (1:k))';  most = row(6+2*k + (1:2));
    now = hour_of (p, orders, weather, row(2), row(3:6));
    now.to = now.from;
    apart = rates (row(1), y, p, now) - theirs;
    worst(i,:) = [max(abs (p.capacity .* apart(1:n))) / most(1), ...
                  max(abs ([p.air .* apart(n+1:n+4); apart(n+5:n+10)])) / most(2), ...
                  max(abs (apart(n+11:n+16)) ./ (abs (theirs(n+11:n+16)) + 1e-4))];
  end
  printf ("rates at %d states, apart at most: heat %.2g and water %.2g of the largest flow, positions %.2g\n", ...
          rows (states), max (worst));
  ok = all (worst(:) < 1e-3);
end

function run_days (p, orders, weather, start, hours)
  option = odeset ("RelTol", 1e-3, "AbsTol", 1e-4);
  y = start.y';  from = start.motor;
  result = zeros (size (hours));
  steps = 0;
  [~, before] = rates (0, y, p, hour_of (p, orders, weather, 0, from));
  begin = cputime ();
  for hour = 0:rows (orders)-1
    now = hour_of (p, orders, weather, hour, from);
    [t, Y] = ode15s (@(t, y) rates (t, y, p, now), 3600 * [hour hour+1], y, option);
    y = Y(end,:)';  from = now.to;
    steps += numel (t) - 1;
    result(hour+1,:) = y;
  end
  seconds = cputime () - begin;
  [~, calls] = rates (0, start.y', p, now);
  air = 0.5 * sum (result(:,1:2) - hours(:,1:2), 2);
  printf ("%.3f %d %d %.6g %.6g %.4f\n", seconds, steps, calls - before, result(end,end), hours(end,end), ...
          sqrt (mean (air.^2)));
end

args = argv ();
source (args{1});
addpath (fileparts (mfilename ("fullpath")));
p = numbers (house, site, soil, weather);
p.step = 2e-4;
if strcmp (args{2}, "rates")
  exit (! compare_rates (p, orders, weather, states));
end
run_days (p, orders, weather, start, hours);
