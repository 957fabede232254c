using Keyline.Elevation;

namespace Keyline.Drainage;

/// <summary>Ground with its hollows let out.</summary>
/// <param name="Ground">The heights.</param>
/// <param name="Breaches">The cuts, from the highest pit down.</param>
/// <param name="Left">How many pits the limits did not let out.</param>
public sealed record BreachedGround(ElevationGrid Ground, IReadOnlyList<Breach> Breaches, int Left);

/// <summary>Cuts hollows open along the cheapest way to lower ground, so that a track or a culvert does not dam a valley.</summary>
/// <remarks>
/// <para>Units: metres.</para>
/// <para>Missing: stays missing; water leaves at the grid's edge and beside missing cells.</para>
/// <para>Promises: no cell is cut by more than the depth allowed, none outside the cuts is lowered, and none is raised above
/// where plain filling would have it. With the rest filled no pit is left. The same bits on any number of cores.</para>
/// <para>Cost: a search around each pit, as far as the limits let it; 17 bytes a cell.</para>
/// <para>Source: Lindsay and Dhun 2015, Modelling surface drainage patterns in altered landscapes using LiDAR, International
/// Journal of Geographical Information Science 29(3), 397-411 (least-cost ways, the cost being what must be cut); Lindsay 2016,
/// Efficient hybrid breaching-filling sink removal methods, Hydrological Processes 30, 846-857 (doi:10.1002/hyp.10648), for the
/// limits and the fall-back.</para>
/// </remarks>
public static class DepressionBreaching
{
    /// <summary>Cuts hollows open.</summary>
    /// <param name="ground">Heights.</param>
    /// <param name="options">The limits; null for the defaults.</param>
    /// <param name="cancellationToken">Stops the work.</param>
    /// <exception cref="ArgumentOutOfRangeException">A limit is below 0 or not a number.</exception>
    public static BreachedGround Breach(ElevationGrid ground, BreachOptions? options = null, CancellationToken cancellationToken = default)
    {
        ArgumentNullException.ThrowIfNull(ground);
        options ??= new BreachOptions();
        if (!(options.MaximumDepth >= 0))
        {
            throw new ArgumentOutOfRangeException(nameof(options), options.MaximumDepth, "The deepest cut must be a number of metres from 0.");
        }

        if (!(options.MaximumLength >= 0))
        {
            throw new ArgumentOutOfRangeException(nameof(options), options.MaximumLength, "The longest cut must be a number of metres from 0.");
        }

        float[] z = (float[])ground.Array.Clone();
        BreachSearch search = new(ground, z, options);
        List<Breach> breaches = [];
        int left = 0;
        foreach (int pit in Pits(ground, cancellationToken))
        {
            cancellationToken.ThrowIfCancellationRequested();
            if (!search.IsPit(pit, cancellationToken))
            {
                continue;
            }

            if (search.Open(pit, cancellationToken) is { } breach)
            {
                breaches.Add(breach);
            }
            else
            {
                left++;
            }
        }

        ElevationGrid cut = new(ground.Frame, z);
        return new BreachedGround(options.FillRest && left > 0 ? DepressionFilling.Fill(cut, cancellationToken) : cut, breaches, left);
    }

    /// <summary>Cells with a height, no lower neighbour and no way out, the highest first: what is cut for one may serve the
    /// lower ones.</summary>
    private static IEnumerable<int> Pits(ElevationGrid ground, CancellationToken cancellationToken)
    {
        float[] z = ground.Array;
        List<ulong> keys = [];
        for (int cell = 0; cell < z.Length; cell++)
        {
            cancellationToken.ThrowIfCancellationRequested(cell);
            if (!float.IsNaN(z[cell]) && !Neighbours.HasLower(z, ground.Frame, cell) && !Neighbours.IsOutlet(z, ground.Frame, cell))
            {
                keys.Add(HeightOrder.Key(z[cell], cell));
            }
        }

        keys.Sort();
        keys.Reverse();
        return keys.Select(HeightOrder.Cell);
    }
}
