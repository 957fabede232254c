using Keyline.Elevation;
using Keyline.Field;
using Keyline.Planar;

namespace Keyline.Check;

/// <summary>What lines are measured against: the ground as delivered, the land a machine stands on, and what the field tells.</summary>
internal sealed class CheckGround
{
    private const double ReachWithoutSpacing = 6.0;

    private readonly Grid<float>? _position;
    private readonly FieldArea? _field;

    public CheckGround(ElevationGrid ground, ElevationGrid? land, Grid<float>? position, FieldArea? field)
    {
        Ground = ground;
        Land = land;
        _position = position;
        _field = field;
        Wet = [.. field?.Avoided.Where(a => a.IsWet) ?? []];
    }

    public ElevationGrid Ground { get; }

    /// <summary>Ground smoothed at the length of a machine; null where none of the lines is on the ground.</summary>
    public ElevationGrid? Land { get; }

    public AvoidedArea[] Wet { get; }

    public double Position(XY p) => _position is null ? double.NaN : GridSampling.Bilinear(_position.Array, _position.Frame, p.X, p.Y);

    /// <summary>Gradient of the land, metres per metre; NaN where it is not known.</summary>
    public XY LandGradient(XY p) => Land is null ? new XY(double.NaN, double.NaN) : MachineSlope.Gradient(Land, p);

    /// <summary>How near an outlet must be to an end to take its water, and wet ground to be fed by it, metres: two spacings.</summary>
    public static double OutletReach(LineLimits limits) => double.IsNaN(limits.Spacing) ? ReachWithoutSpacing : 2 * limits.Spacing;

    public double OutletDistance(XY p) => _field?.OutletDistance(p) ?? double.PositiveInfinity;
}
