namespace Keyline.Terrain;

/// <summary>How the steepness of a cell is drawn from the cells around it.</summary>
public enum SlopeMethod
{
    /// <summary>Eight neighbours, the nearer four counting double: calmer on noisy ground (Horn 1981).</summary>
    Horn,

    /// <summary>The four nearest neighbours: exact on quadratic ground (Zevenbergen and Thorne 1987).</summary>
    ZevenbergenThorne,
}
