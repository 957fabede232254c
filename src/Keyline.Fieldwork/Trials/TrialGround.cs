using Keyline.Elevation;
using Keyline.Landform;
using Keyline.Layout;
using Keyline.Terrain;
using NetTopologySuite.Geometries;

namespace Keyline.Fieldwork;

/// <summary>A zone that no plot may cross the edge of: a soil, a range of conductivity, a past use.</summary>
/// <param name="Name">Its name.</param>
/// <param name="Shape">Its ground, projected metres.</param>
public sealed record TrialZone(string Name, Geometry Shape);

/// <summary>What of the ground makes plots alike: where they stand between valley and ridge, and their slope.</summary>
/// <remarks>
/// <para>Units: position 0 (valley) to 1 (ridge), slope in percent. Missing: NaN. Cost: linear in cells once, then O(1) a place.</para>
/// <para>Source: <see cref="DriftPosition"/> (relative height after Weiss 2001) and <see cref="Slope"/> name theirs.</para>
/// </remarks>
public sealed class TrialGround
{
    private readonly Grid<float> _position;
    private readonly Grid<float> _slope;

    private TrialGround(Grid<float> position, Grid<float> slope) => (_position, _slope) = (position, slope);

    /// <summary>Reads the ground.</summary>
    /// <param name="reading">The landform.</param>
    /// <param name="cancellationToken">Stops the work.</param>
    public static TrialGround Of(GroundReading reading, CancellationToken cancellationToken = default)
    {
        ArgumentNullException.ThrowIfNull(reading);
        return new TrialGround(DriftPosition.Compute(reading.Smoothed, reading.Landform, cancellationToken), Slope.Percent(reading.Smoothed, cancellationToken: cancellationToken));
    }

    /// <summary>Position and slope at a place.</summary>
    /// <param name="x">East, metres.</param>
    /// <param name="y">North, metres.</param>
    public (double Position, double Slope) At(double x, double y)
    {
        int i = _position.Frame.IndexAt(x, y);
        return i < 0 ? (double.NaN, double.NaN) : (_position.Values[i], _slope.Values[i]);
    }
}
