using Keyline.Elevation;
using Keyline.Planar;

namespace Keyline.Field;

/// <summary>The slope of the land a machine stands on: the gradient of ground smoothed at the length of a machine.</summary>
/// <remarks>Units: metres. Source: ours; a furrow or a clod is no slope of the land, a bank longer than a machine is.</remarks>
internal static class MachineSlope
{
    /// <summary>Standard deviation of the smoothing, metres: about the length of a tractor with its implement.</summary>
    public const double SmoothingLength = 6.0;

    // Half the base over which the smoothed ground is sloped, metres: half such a length.
    private const double Arm = 3.0;

    /// <summary>Gradient at a place, metres per metre; NaN beside missing ground.</summary>
    /// <param name="land">Ground smoothed over <see cref="SmoothingLength"/>.</param>
    /// <param name="p">The place.</param>
    public static XY Gradient(ElevationGrid land, XY p)
    {
        double arm = Math.Max(Arm, land.Frame.CellSize / 2);
        return new XY(
            (land.HeightAt(p.X + arm, p.Y) - land.HeightAt(p.X - arm, p.Y)) / (2 * arm),
            (land.HeightAt(p.X, p.Y + arm) - land.HeightAt(p.X, p.Y - arm)) / (2 * arm));
    }
}
