// A segment, widened to a strip of even width on the screen.
in vec2 corner;              // x: 0 at the start, 1 at the end; y: -1, 1 across
in vec3 start;               // relative to `origin`
in vec3 end;
uniform vec3 origin;         // from the eye
uniform mat4 clip_from_eye;
uniform vec2 half_screen;    // pixels
uniform float half_width;    // pixels
uniform float round_ends;    // 1: round, 0: blunt
uniform float lift;          // towards the eye, as a share of the distance
out vec2 along_across;
out float span;

void main() {
    vec3 a = (start + origin) * (1.0 - lift);
    vec3 b = (end + origin) * (1.0 - lift);
    vec4 p = clip_from_eye * vec4(a, 1.0);
    vec4 q = clip_from_eye * vec4(b, 1.0);
    // What lies behind the near plane is cut off here, before the division.
    float dp = p.z + p.w;
    float dq = q.z + q.w;
    if (dp <= 0.0 && dq <= 0.0) {
        gl_Position = vec4(2.0, 2.0, 2.0, 1.0);
        along_across = vec2(0.0);
        span = 0.0;
        return;
    }
    if (dp < 0.0) p = mix(p, q, dp / (dp - dq));
    if (dq < 0.0) q = mix(q, p, dq / (dq - dp));
    vec2 sp = p.xy / max(p.w, 1e-6) * half_screen;
    vec2 sq = q.xy / max(q.w, 1e-6) * half_screen;
    vec2 run = sq - sp;
    span = length(run);
    vec2 dir = span > 1e-4 ? run / span : vec2(1.0, 0.0);
    vec2 side = vec2(-dir.y, dir.x);
    float reach = half_width + 1.0;
    float past = mix(0.25, reach, round_ends);
    bool at_end = corner.x > 0.5;
    vec2 at = (at_end ? sq : sp) + dir * (at_end ? past : -past) + side * corner.y * reach;
    float z = at_end ? q.z / max(q.w, 1e-6) : p.z / max(p.w, 1e-6);
    along_across = vec2(at_end ? span + past : -past, corner.y * reach);
    gl_Position = vec4(at / half_screen, z, 1.0);
}
